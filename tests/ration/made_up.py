"""Ingredients for tests: rows of the table that ships, and invented ones with blanks."""

from __future__ import annotations

from breadline.knowledge.ingredient import Content, Ingredient
from breadline.knowledge.ingredients import ingredients
from breadline.ration.recipe import Part, Recipe

SHIPPED = ingredients()
SOY = SHIPPED["soy_flour_defatted"]
SUGAR = SHIPPED["sugar_granulated"]
WATER = SHIPPED["water"]


def exactly(**values: float) -> dict[str, Content]:
    return {name: Content(value, value) for name, value in values.items()}


def ingredient(key: str, protein: float | tuple[float, float] = 0.0, factor: float = 6.25, traits=(), aa=None,
               acid_shares=None, **nutrients: float) -> Ingredient:  # fmt: skip
    low, high = protein if isinstance(protein, tuple) else (protein, protein)
    return Ingredient(key, key.replace("_", " "), factor, Content(low, high), exactly(**nutrients),
                      exactly(**(aa or {})), frozenset(traits), "made_up", "judged",
                      acid_shares=acid_shares or {})  # fmt: skip


def recipe(*parts: tuple[Ingredient, float], name: str = "Test mix") -> Recipe:
    return Recipe(name, tuple(Part(kind, grams) for kind, grams in parts))


def shipped(name: str = "Test mix", **grams: float) -> Recipe:
    """A recipe of shipped ingredients by key. [g]"""
    return recipe(*((SHIPPED[key], weight) for key, weight in grams.items()), name=name)
