"""What can be plotted of a sweep: one file a quantity, one registry, for window and paper."""
