"""Breadline: does this yard need protein, with what, when, and did it pay?"""

__version__ = "0.1.0"
