"""How a change is made: document, undo commands, edits; and the state of the view."""
