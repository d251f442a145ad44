"""An invented operation's rounds, for the tests of paper. Names and amounts are made up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from breadline.need.yard import Place
from breadline.plan.cuts import GRAMS_A_POUND, Patty
from breadline.plan.paper import Load, RoundVisit
from breadline.plan.portions import Step

POUND = Patty(GRAMS_A_POUND, "lb")
METRIC = Patty(400.0, "g")


def steps(half_from: float, full_from: float, half: float, full: float) -> tuple[Step, ...]:
    """None, half and full from so many frames on."""
    return (Step(0.0, 0.0), Step(half_from, half), Step(full_from, full))


STEPS = steps(4.0, 8.0, 0.5, 1.0)
LOOKS = ("fresh pollen round the brood", "last round's leftovers", "maggots under the piece")
NAMES = (
    "Tarweed Flat",
    "Lower Ditch",
    "Water Tank",
    "North Fence",
    "Old Orchard",
    "Quarry",
    "Two Oaks",
    "Spring",
)


def visit(n: int = 0, patty: Patty = POUND, **known: object) -> RoundVisit:
    base = RoundVisit(
        NAMES[n % 8], 2, date(2026, 8, 25), STEPS, (3, 8, 13 + n), patty, 7, "beetles in the district", LOOKS,
        place=Place(38.0 + 0.05 * n, -121.0 + 0.04 * (n % 3)),
    )  # fmt: skip
    return replace(base, **known)


def load(yards: int = 3, patty: Patty = POUND, **known: object) -> Load:
    syrup = {"syrup_each_l": 3.8 if patty is POUND else 4.0}
    visits = tuple(visit(n, patty, light=2 * n, **syrup) for n in range(yards))
    return replace(Load(visits, 0.05, 4, "Driven in your own order."), **known)
