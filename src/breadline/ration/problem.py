"""What the solver is asked: what is on offer at what price, what it has to reach, and how it is made."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Ingredient, Price
from breadline.language import say
from breadline.ration.targets import Target

Counted = Literal["safe", "middle"]
Limit = Literal["whole bags", "most ingredients", "least if used"]


@dataclass(frozen=True)
class Making:
    """How the mix is made.

    Parameters
    ----------
    batch_kg
        What the mixer holds. [kg]
    fill_least
        How much of that a batch must fill at least; 1 fills it. [share]
    whole_bags
        Keys of ingredients that go in by the unopened bag only.
    most_ingredients
        At most so many different ingredients.
    least_if_used
        What goes in at all makes up at least this much of a full batch. [%]
    time_limit_s
        Longest search where bags or a number of ingredients have to be counted. [s]
    """

    batch_kg: float | None = None
    fill_least: float = 1.0
    whole_bags: frozenset[str] = frozenset()
    most_ingredients: int | None = None
    least_if_used: float | None = None
    time_limit_s: float = 10.0

    @property
    def counts_whole_things(self) -> bool:
        """Whether anything has to be a whole number."""
        return bool(self.whole_bags) or self.most_ingredients is not None or self.least_if_used is not None

    def limits(self) -> tuple[Limit, ...]:
        """Which limits are set, beside the size of the batch."""
        there: dict[Limit, bool] = {
            "whole bags": bool(self.whole_bags),
            "most ingredients": self.most_ingredients is not None,
            "least if used": self.least_if_used is not None,
        }
        return tuple(limit for limit, is_set in there.items() if is_set)

    def without(self, limit: Limit) -> Making:
        """The same with one of its limits let go."""
        if limit == "whole bags":
            return replace(self, whole_bags=frozenset())
        if limit == "most ingredients":
            return replace(self, most_ingredients=None)
        return replace(self, least_if_used=None)


@dataclass(frozen=True)
class Problem:
    """All that ``cheapest`` is asked.

    Parameters
    ----------
    ingredients
        What may go in.
    prices
        By ingredient key; one money. Only water may go without.
    targets
        What the mix must reach.
    making
        Batch, bags and the like.
    counted
        ``"safe"``: a least counts the low end of every content and a most the high
        end, so the recipe keeps its targets wherever in their ranges the contents
        lie; amino acids move with the protein that they are a part of.
        ``"middle"``: known ranges count half-way; what was not reported still
        counts at its bad end.
    """

    ingredients: tuple[Ingredient, ...]
    prices: Mapping[str, Price]
    targets: tuple[Target, ...] = ()
    making: Making = field(default_factory=Making)
    counted: Counted = "safe"

    def __post_init__(self) -> None:
        _ingredients_once(self)
        for ingredient in self.ingredients:
            _price_sound(ingredient, self.prices.get(ingredient.key))
        _one_money(self)
        _making_possible(self)

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Keys of what is on offer, in their order."""
        return tuple(i.key for i in self.ingredients)

    @property
    def money(self) -> str:
        """The money that all prices are in."""
        return next((p.money for k, p in self.prices.items() if k in self.keys), "")

    @property
    def years(self) -> tuple[int, ...]:
        """The years the prices are of."""
        return tuple(sorted({p.year for k, p in self.prices.items() if k in self.keys}))

    def price(self, key: str) -> float:
        """What a kilogram costs. [money/kg]"""
        there = self.prices.get(key)
        return there.per_kg if there else 0.0


def _ingredients_once(problem: Problem) -> None:
    if not problem.ingredients:
        raise RecipeError(
            "ingredients", say("none is on offer"), say("at least one"), say("Choose what may go in")
        )
    for key, times in Counter(problem.keys).items():
        if times > 1:
            raise RecipeError(
                f"ingredient {key}", say("it is on offer twice"), "once", say("Take one of the two away")
            )


def _price_sound(ingredient: Ingredient, price: Price | None) -> None:
    """A price is there and above nought; water alone may go without."""
    where = f"price of {ingredient.name}"
    if price is None:
        if "water" in ingredient.traits:
            return
        raise RecipeError(
            where, say("it is not known"), say("money for a kilogram, its money and its year"),
            say("Enter what you would pay, or take the ingredient out"),
        )  # fmt: skip
    if not math.isfinite(price.per_kg) or price.per_kg <= 0.0:
        raise RecipeError(
            where, say("{per_kg:g} is no price", per_kg=price.per_kg), say("a number above 0"),
            say("Enter what it costs you; for something of your own, what you could sell it " "for"),
        )  # fmt: skip
    if price.bag_kg is not None and not (math.isfinite(price.bag_kg) and price.bag_kg > 0.0):
        raise RecipeError(
            where,
            say("a bag of {bag_kg:g} kg", bag_kg=price.bag_kg),
            say("a weight above 0"),
            say("Mend the bag’s weight"),
        )


def _one_money(problem: Problem) -> None:
    moneys = sorted({p.money for k, p in problem.prices.items() if k in problem.keys})
    if len(moneys) > 1:
        raise RecipeError(
            "prices", say("they are in {moneys}", moneys=' and '.join(moneys)), say("one money"),
            say("Turn them into one money; Breadline knows no exchange rates"),
        )  # fmt: skip


def _making_possible(problem: Problem) -> None:
    making = problem.making
    if making.batch_kg is not None and not (math.isfinite(making.batch_kg) and making.batch_kg > 0.0):
        raise RecipeError(
            "batch",
            say("{batch_kg:g} kg", batch_kg=making.batch_kg),
            say("a weight above 0"),
            say("Mend the batch’s weight"),
        )
    if not 0.0 < making.fill_least <= 1.0:
        raise RecipeError(
            "batch",
            say("filled to {fill_least:g}", fill_least=making.fill_least),
            say("a share above 0, up to 1"),
            say("Mend the share"),
        )
    if making.most_ingredients is not None and making.most_ingredients < 1:
        raise RecipeError(
            "most ingredients", f"{making.most_ingredients}", say("1 or more"), say("Mend the number")
        )
    if making.least_if_used is not None and not 0.0 < making.least_if_used <= 100.0:
        raise RecipeError(
            "least of what goes in",
            f"{making.least_if_used:g} %",
            say("above 0, up to 100 %"),
            say("Mend it"),
        )
    if not making.time_limit_s > 0.0:
        raise RecipeError("time limit", f"{making.time_limit_s:g} s", say("above 0 s"), say("Mend the limit"))
    _bags_known(problem)


def _bags_known(problem: Problem) -> None:
    """Whole bags need the mixer's size and the weight of a bag."""
    for key in sorted(problem.making.whole_bags):
        price = problem.prices.get(key)
        if key not in problem.keys:
            raise RecipeError(
                f"whole bags of {key}",
                say("it is not on offer"),
                say("one of the ingredients"),
                say("Mend it"),
            )
        if problem.making.batch_kg is None:
            raise RecipeError(
                "batch", say("it is not said, and whole bags are counted into it"),
                say("what the mixer holds, or the feed wanted, in kg or lb"), say("Enter it under [mixing]"),
            )  # fmt: skip
        if price is None or price.bag_kg is None:
            raise RecipeError(
                f"whole bags of {key}", say("the weight of a bag is not known"), say("kg in a bag"),
                say("Enter it beside the price"),
            )  # fmt: skip
