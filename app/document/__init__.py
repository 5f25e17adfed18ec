"""The road of a change: document, undo commands, edits, and what is looked at."""
