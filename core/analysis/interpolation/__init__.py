"""What lies between the points of a sweep.

cubic      one cubic an interval: `interpolate`, `interpolate_one`, `cubics`
roots      zeros of functions and of their differences in brackets
delay      the delay of a long feed line, found and taken out
track      |reflection|^2 along the sweep: its value anywhere and where it turns
"""

from fairlead.core.analysis.interpolation.cubic import interpolate, interpolate_one

__all__ = ["interpolate", "interpolate_one"]
