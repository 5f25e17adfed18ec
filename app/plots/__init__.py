"""Plots on the screen: a quantity over frequency, and the Smith chart."""
