"""Plots on the screen: SWR over frequency and the Smith chart."""
