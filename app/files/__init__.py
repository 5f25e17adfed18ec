"""What is read from and written to disk, off the GUI thread."""
