"""The window in which a curve of a picture becomes a sweep."""
