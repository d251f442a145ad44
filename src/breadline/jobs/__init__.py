"""One file a thing a user asks for: load, call the steps, save."""
