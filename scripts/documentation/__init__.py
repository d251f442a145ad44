"""The documentation site: pages of the repository in the order of the loop, as plain HTML."""
