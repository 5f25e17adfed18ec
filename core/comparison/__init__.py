"""Sweeps compared with a reference."""
