"""The same verbs as the pages, in the terminal."""
