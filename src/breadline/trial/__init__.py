"""The design of a comparison: how many colonies could tell what, drawn how."""
