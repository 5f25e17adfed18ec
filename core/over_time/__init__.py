"""Figures of one antenna against date: trends with their intervals, and what stands out."""
