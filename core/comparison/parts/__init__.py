"""Two sweeps of one resonance taken apart: tuning, match, damping and what is left over."""
