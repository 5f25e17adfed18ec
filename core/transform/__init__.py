"""From the measured sweep to the one that is shown: steps applied in order.

A new kind of step is one file here and one line in `registry`.
"""
