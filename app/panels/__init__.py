"""Panels beside the plots: the list of sweeps, the band, messages."""
