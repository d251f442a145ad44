"""When, how much, and when to stop: rounds of feeding and what they are worth."""
