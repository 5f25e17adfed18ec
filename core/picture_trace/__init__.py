"""A curve in a picture becomes a sweep: clicked axes, the curve by colour and continuity.

Arrays come in, sweeps go out; decoding pictures is the app's. Positions are pixels of the upright
picture from its upper left corner: the centre of its first pixel is (0.5, 0.5).
"""
