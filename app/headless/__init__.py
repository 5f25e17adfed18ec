"""The verbs of the command line that start no window: figures, picture, check, export."""
