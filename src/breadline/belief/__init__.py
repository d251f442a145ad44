"""What feeding is likely to add, and how sure that is, before and after a yard's own results."""
