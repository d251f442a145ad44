"""The ladder of advice: what has to be right before protein, one module a group of rungs."""
