"""With what: what a recipe or a label really contains, and the cheapest sound mix."""
