"""What can be plotted of a sweep: one file for each quantity, one registry, for window and paper."""
