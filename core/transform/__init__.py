"""Steps that turn the measured sweep into the one that is shown, applied in order.

A new kind of step is one file here and one line in `registry`.
"""
