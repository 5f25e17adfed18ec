"""The Qt side of Fairlead: windows, plots, printing, the command line."""
