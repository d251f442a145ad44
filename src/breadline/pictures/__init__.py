"""Charts as SVG, and the same data as a table."""
