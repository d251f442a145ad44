"""A recipe: which ingredients, and how much of each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from breadline.knowledge.ingredient import Ingredient, Price


@dataclass(frozen=True)
class Part:
    """So many grams of one ingredient in a recipe as it is written."""

    ingredient: Ingredient
    grams: float  # [g]


@dataclass(frozen=True)
class Recipe:
    """Parts in the order in which they were written; only their proportions matter."""

    name: str
    parts: tuple[Part, ...]
    prices: Mapping[str, Price] = field(default_factory=dict)  # by ingredient key
    note: str = ""

    @property
    def grams(self) -> float:
        """All parts together. [g]"""
        return sum(part.grams for part in self.parts)

    def shares(self) -> dict[str, float]:
        """Share of each ingredient in the mix, by key; together 1. [share]"""
        whole = self.grams
        shares: dict[str, float] = {}
        for part in self.parts:
            key = part.ingredient.key
            shares[key] = shares.get(key, 0.0) + part.grams / whole
        return shares
