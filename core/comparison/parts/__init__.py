"""The change between two sweeps of one resonance in parts: tuning, match, damping and the rest."""
