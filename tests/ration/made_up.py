"""Ingredients for tests: a few rows of the USDA table, and invented ones with blanks."""

from __future__ import annotations

from breadline.knowledge.ingredient import Content, Ingredient
from breadline.ration.recipe import Part, Recipe


def exactly(**values: float) -> dict[str, Content]:
    return {name: Content(value, value) for name, value in values.items()}


def ingredient(key: str, protein: float | tuple[float, float] = 0.0, factor: float = 6.25, traits=(), aa=None,
               **nutrients: float) -> Ingredient:  # fmt: skip
    low, high = protein if isinstance(protein, tuple) else (protein, protein)
    return Ingredient(key, key.replace("_", " "), factor, Content(low, high), exactly(**nutrients), aa or {},
                      frozenset(traits), "made_up", "judged")  # fmt: skip


def recipe(*parts: tuple[Ingredient, float], name: str = "Test mix") -> Recipe:
    return Recipe(name, tuple(Part(kind, grams) for kind, grams in parts))


SOY = ingredient(
    "soy_flour_defatted", 47.01, 5.71, ("soy", "powder"),
    {"arg": 3.647, "his": 1.268, "ile": 2.281, "leu": 3.828, "lys": 3.129, "met": 0.634, "phe": 2.453,
     "thr": 2.042, "trp": 0.683, "val": 2.346, "cys": 0.757},
    water=7.25, fat=1.22, ash=6.15, fibre=17.5, sugars=18.88, sodium=20, potassium=2384, calcium=241,
    phosphorus=674, zinc=2.46, linoleic=0.470, linolenic=0.063,
)  # fmt: skip
SUGAR = ingredient(
    "sugar", 0.0, traits=("sugar",), water=0.02, fat=0.0, ash=0.01, fibre=0.0, sugars=99.80, sodium=1,
    potassium=2, calcium=1, phosphorus=0, zinc=0.01, linoleic=0.0, linolenic=0.0,
)  # fmt: skip
WATER = ingredient(
    "water", traits=("water",), water=100.0, fat=0.0, ash=0.0, fibre=0.0, sugars=0.0, starch=0.0, sodium=0.0,
    potassium=0.0, calcium=0.0, phosphorus=0.0, zinc=0.0, linoleic=0.0, linolenic=0.0, lactose=0.0,
)  # fmt: skip
