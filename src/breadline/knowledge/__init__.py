"""PUBLISHED FIGURES of the trade, no computation."""
