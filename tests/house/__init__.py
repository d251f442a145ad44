"""The rules of the house, checked by machine."""
