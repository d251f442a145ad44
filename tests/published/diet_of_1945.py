"""The least-cost diet of 1945, asked of the solver of rations.

Its table holds what a dollar of each of 77 foods contained in 1939 (the only food
named by a brand is named by its kind here). A mix is shares of a whole, so a day is
one dollar: so much goes to each food, and the rest to water, which is free. Its nine
nutrients stand under nine names that the solver knows; to arithmetic a name is a name.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from breadline.knowledge.ingredient import Content, Ingredient, Price
from breadline.ration.problem import Problem
from breadline.ration.solver import Solved, cheapest
from breadline.ration.targets import nutrient

DAYS = 365
FLOORS = {  # column: (the name it stands under, its least a day)
    "energy_mcal": ("fat", 3.0), "protein_g": ("sodium", 70.0), "calcium_g": ("ash", 0.8),
    "iron_mg": ("potassium", 12.0), "vitamin_a_kiu": ("fibre", 5.0), "thiamine_mg": ("starch", 1.8),
    "riboflavin_mg": ("calcium", 2.7), "niacin_mg": ("phosphorus", 18.0), "ascorbic_acid_mg": ("zinc", 75.0),
}  # fmt: skip


@cache
def solved() -> Solved:
    """The cheapest day."""
    with (Path(__file__).parent / "diet_of_1945.csv").open(encoding="utf-8", newline="") as file:
        foods = [_food(row["food"], {c: float(row[c]) for c in FLOORS}) for row in csv.DictReader(file)]
    prices = {food.key: Price(1.0, "US$", 1939) for food in foods}
    water = _food("water", dict.fromkeys(FLOORS, 0.0))
    floors = tuple(nutrient(name, "as fed", least) for name, least in FLOORS.values())
    found = cheapest(Problem((*foods, water), prices, floors))
    assert isinstance(found, Solved)
    assert len(foods) == 77
    return found


def _food(name: str, holds: dict[str, float]) -> Ingredient:
    nutrients = {FLOORS[column][0]: Content(value, value) for column, value in holds.items()}
    traits = frozenset({"water"} if name == "water" else ())
    return Ingredient(name, name, 6.25, Content(0.0, 0.0), nutrients, {}, traits, "or_tools_diet", "itself")


def dollars_a_year() -> float:
    """What the cheapest diet costs. [US$ of 1939]"""
    return solved().cost_per_kg * DAYS


def dollars_for(food: str) -> float:
    """What goes to one food in a year. [US$ of 1939]"""
    return solved().shares.get(food, 0.0) * DAYS


def foods_bought() -> int:
    """How many foods the diet has."""
    return len([key for key in solved().shares if key != "water"])
