"""From the measured sweep to the one that is shown: steps applied one after the other.

A new kind of step is one file here and its line in `registry`.
"""
