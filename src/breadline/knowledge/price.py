"""What somebody was asked for a bag or a kilogram."""

from __future__ import annotations

from math import isfinite

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Price
from breadline.language import say

YEARS = (1990, 2100)


def price_of_bag(where: str, amount: float, bag_kg: float, money: str, year: int) -> Price:
    """A price asked for a bag.

    Parameters
    ----------
    where
        Name of the ingredient, for errors.
    amount
        Asked for the bag. [money]
    bag_kg
        What the bag weighs. [kg]
    money, year
        Whose money, such as "US$", and of which year.

    Errors
    ------
    RecipeError
        For a price or a bag that is not above 0, no money, or a year that is none.
    """
    if not (isfinite(bag_kg) and bag_kg > 0):
        raise RecipeError(
            f"{where}, bag",
            say("{bag_kg:g} kg is not the weight of a bag", bag_kg=bag_kg),
            say("above 0 kg"),
            say("Write what the bag says"),
        )
    return price_per_kg(where, amount / bag_kg, money, year, bag_kg)


def price_per_kg(where: str, per_kg: float, money: str, year: int, bag_kg: float | None = None) -> Price:
    """A price asked for a kilogram.

    Parameters
    ----------
    where
        Name of the ingredient, for errors.
    per_kg
        Asked for a kilogram. [money/kg]
    money, year
        Whose money, such as "US$", and of which year.
    bag_kg
        What a whole bag weighs, where it is sold in bags. [kg]

    Errors
    ------
    RecipeError
        For a price or a bag that is not above 0, no money, or a year that is none.
    """
    if not (isfinite(per_kg) and per_kg > 0):
        raise RecipeError(
            f"{where}, price", say("{per_kg:g} is not a price", per_kg=per_kg), say("above 0"),
            say("Write what you were asked for, or leave the price out"),
        )  # fmt: skip
    if bag_kg is not None and not (isfinite(bag_kg) and bag_kg > 0):
        raise RecipeError(
            f"{where}, bag",
            say("{bag_kg:g} kg is not the weight of a bag", bag_kg=bag_kg),
            say("above 0 kg"),
            say("Write what the bag says"),
        )
    if not money.strip():
        raise RecipeError(
            f"{where}, price",
            say("says not in whose money"),
            say("such as US$ or EUR"),
            say("Name the money"),
        )
    if not YEARS[0] <= year <= YEARS[1]:
        raise RecipeError(
            f"{where}, price",
            say("{year} is not a year", year=year),
            say("{years} to {years2}", years=YEARS[0], years2=YEARS[1]),
            say("Write when you asked"),
        )
    return Price(per_kg, money.strip(), year, bag_kg)
