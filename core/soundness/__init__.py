"""Checks of whether a sweep can be trusted, and how far."""
