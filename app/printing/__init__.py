"""The printed figure: lay out first (millimetres, no painting), paint after (PNG, SVG, PDF)."""
