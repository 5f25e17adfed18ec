"""Whether a sweep can be believed, and how far."""
