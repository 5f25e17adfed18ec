"""Reading and writing files, off the GUI thread."""
