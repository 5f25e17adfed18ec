"""Everything about one sweep that does not depend on a band, and the curve between its points."""
