"""The parts of the figures of a sweep in a band: best match, SWR, resonance and Q."""
