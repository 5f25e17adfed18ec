"""The curve between the points of a sweep.

cubic      one cubic per interval: `interpolate`, `interpolate_one`, `cubics`
roots      zeros of functions in brackets, and real sign changes
delay      the delay of a long feed line, estimated and removed
track      |reflection|^2 along the sweep: its value anywhere and its turning points
rational   a rational fit around one frequency, for slopes and minima
calm       a curve with less noise
"""

from fairlead.core.analysis.interpolation.cubic import interpolate, interpolate_one

__all__ = ["interpolate", "interpolate_one"]
