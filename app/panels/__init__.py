"""Panels around the plots: the list of sweeps, the band, messages."""
