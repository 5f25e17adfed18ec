"""Sweeps held against a reference."""
