"""The printed picture: lay out first (millimetres, no painting), paint after (PNG, SVG, PDF)."""
