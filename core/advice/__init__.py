"""What the figures mean for somebody with a radio, a cutter and a soldering iron.

Each answer is calculated from figures and states its assumptions: the power budget, the effect of
one trim, the best tuning for wet and dry, and ways to match.
"""
