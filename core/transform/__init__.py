"""From what was measured to what everybody sees: steps taken one after the other.

A new kind of step is one file here and its line in `registry`.
"""
