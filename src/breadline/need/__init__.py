"""Does the yard need protein? From weather and counts to a shortfall and advice."""
