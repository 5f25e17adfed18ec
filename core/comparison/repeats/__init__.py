"""Before, during, after: the effect that came and went, separated from drift."""
