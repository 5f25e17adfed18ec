"""The table of figures."""
