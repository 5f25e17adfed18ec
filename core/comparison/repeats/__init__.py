"""Before, during, after: what came and went, told apart from what drifted away."""
