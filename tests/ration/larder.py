"""A made-up larder for the tests of the solver: round numbers, no real feed."""

from __future__ import annotations

from breadline.knowledge.ingredient import Content, Ingredient, Price
from breadline.ration.bases import DRY
from breadline.ration.problem import Making, Problem
from breadline.ration.targets import Target, nutrient, protein, share

PARTS = ("water", "fat", "ash", "sugars", "sodium", "linoleic", "linolenic")


def kind(key: str, protein_pct: float | tuple[float, float], parts: str, *traits: str, factor: float = 6.25):
    """An ingredient; ``parts`` are the values of ``PARTS``, a dash where not reported."""
    low, high = protein_pct if isinstance(protein_pct, tuple) else (protein_pct, protein_pct)
    said = {n: Content(float(v), float(v)) for n, v in zip(PARTS, parts.split(), strict=True) if v != "-"}
    return Ingredient(
        key, key.capitalize(), factor, Content(low, high), said, {}, frozenset(traits), "made up", "judged"
    )


BEAN = kind("bean", 45.0, "8 2 6 20 20 1 0.2", "soy", factor=5.71)
YEAST = kind("yeast", (40.0, 48.0), "7 2 7 0 100 - -", "yeast")
SUGAR = kind("sugar", 0.0, "0 0 0 100 1 0 0", "sugar")
WATER = kind("water", 0.0, "100 0 0 0 0 0 0", "water")
OIL_A = kind("oil_a", 0.0, "0 100 0 0 0 20 10", "oil")
OIL_B = kind("oil_b", 0.0, "0 100 0 0 0 14 56", "oil")
POLLEN = kind("pollen", 22.0, "20 5 3 35 10 1 2", "pollen")
LARDER = (BEAN, YEAST, SUGAR, WATER, OIL_A, OIL_B, POLLEN)


def price(per_kg: float, bag_kg: float | None = None, money: str = "US$", year: int = 2026) -> Price:
    return Price(per_kg, money, year, bag_kg)


PRICES = {
    "bean": price(1.5, 20.0), "yeast": price(3.0, 25.0), "sugar": price(1.1, 20.0), "oil_a": price(2.0),
    "oil_b": price(9.0), "pollen": price(20.0),
}  # fmt: skip

TARGETS = (
    protein(DRY, least=18.0),
    nutrient("water", "as fed", 12.0, 20.0),
    nutrient("fat", "as fed", 3.0, 6.0),
    share("bean", most=25.0),
    share("sugar", least=40.0),
    nutrient("sodium", "as fed", most=40.0),
)


def problem(*more: Target, making: Making | None = None, **changes) -> Problem:
    """The usual question, with more targets."""
    asked = {"ingredients": LARDER, "prices": PRICES, "targets": TARGETS + more, "making": making or Making()}
    return Problem(**(asked | changes))
