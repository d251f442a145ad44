"""What is printed and taken along: one page of paper each."""
