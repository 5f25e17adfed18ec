"""The document: entries, the bench that holds them, and its edits."""
