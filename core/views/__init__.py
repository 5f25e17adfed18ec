"""What can be plotted of a sweep: one file per quantity, one registry, for window and paper."""
