"""What the figures mean for somebody with a radio, a cutter and a soldering iron.

Each answer is worked out from figures and says what it assumes: what the power budget costs, what
one trim would do, which tuning serves wet and dry, how to match.
"""
