"""The season model fitted to a yard's own counts."""
