"""How an amount is measured out: in one's own buckets, in whole bags, or only on the scale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content, Ingredient
from breadline.language import noted, say
from breadline.ration.measures import System, rounded_weight, step_for

Vessel = Literal["bags", "buckets", "scale"]

_NEAR = 0.025  # a coarser measure is taken where it is off by no more than this [share] (judged)
_ROUGH = 0.10  # beyond this a quarter bucket is too coarse, and the amount goes on the scale [share] (judged)
_LIGHTEST, _HEAVIEST = 0.05, 3.0  # nothing that goes into a mix is lighter or heavier [g/mL]
_SMALLEST_L, _LARGEST_L = 0.2, 1100.0  # a scoop, a bulk tote; anything else is a slip of the unit [L]
_MOST_BUCKETS = 60  # nobody counts further, drum running [buckets] (judged)


@dataclass(frozen=True)
class Bucket:
    """One's own bucket.

    Parameters
    ----------
    litres
        What it holds, filled to the level. [L]
    level
        How far it is filled, in words: "filled to 2 inches under the rim".
    name
        What the mixing room calls it: "5-gallon pail".
    """

    litres: float
    level: str
    name: str = noted("bucket")

    def __post_init__(self) -> None:
        if not _SMALLEST_L <= self.litres <= _LARGEST_L:
            raise RecipeError(
                "bucket",
                say("{litres:g} L is no bucket", litres=self.litres),
                say("{smallest_l:g} to {largest_l:g} L", smallest_l=_SMALLEST_L, largest_l=_LARGEST_L),
                say("Pour it full of water to your level and measure or weigh that"),
            )
        if not self.level.strip():
            raise RecipeError("bucket", say("how far it is filled is not said"),
                              say("a level such as “filled to 2 inches under the rim”"),
                              say("Say it: a bucket filled to the rim weighs a good deal more"))  # fmt: skip

    def full(self, bulk: Content) -> Content:
        """What one full bucket weighs, from its bulk density [g/mL]. [g]"""
        return Content(bulk.low * self.litres * 1000.0, bulk.high * self.litres * 1000.0)


@dataclass(frozen=True)
class Measured:
    """One way to measure an amount out.

    ``count`` is how many buckets or bags, 0 on the scale; ``each`` is what one of them weighs, from
    lightest to heaviest. [g] ``grams`` is the whole amount, and ``step`` what the scale is read in. [g]
    """

    vessel: Vessel
    grams: float
    count: float = 0.0  # [1]
    each: Content | None = None  # [g]
    step: float = 0.0  # [g]

    @property
    def between(self) -> Content:
        """The least and the most that it may weigh, where buckets differ. [g]"""
        if self.each is None:
            return Content(self.grams, self.grams)
        return Content(self.count * self.each.low, self.count * self.each.high)


def plausible_bulk(bulk: Content, where: str) -> Content:
    """The same density [g/mL], if something can weigh that.

    Errors
    ------
    RecipeError
        If it is lighter than any powder, heavier than any syrup, or its ends are the wrong way round.
    """
    if not _LIGHTEST <= bulk.low <= bulk.high <= _HEAVIEST:
        raise RecipeError(
            where,
            say("a bulk density of {low:g} to {high:g} g/mL is not possible", low=bulk.low, high=bulk.high),
            say(
                "{lightest:g} to {heaviest:g} g/mL, the lower end first",
                lightest=_LIGHTEST,
                heaviest=_HEAVIEST,
            ),
            say("Weigh one full bucket, and check the bucket’s size and the units"),
        )
    return bulk


def known_bulk(ingredient: Ingredient, own: Mapping[str, Content]) -> Content | None:
    """The user's own bulk density before the shipped one; ``None`` where it has to be asked for. [g/mL]"""
    bulk = own.get(ingredient.key, ingredient.bulk_g_per_ml)
    return None if bulk is None else plausible_bulk(bulk, ingredient.name)


def on_the_scale(grams: float, system: System, finer: int = 0) -> Measured:
    """The amount [g] as a weight that a scale can show."""
    return Measured("scale", rounded_weight(grams, system, finer), step=step_for(grams, system, finer))


def in_bags(grams: float, bag_g: float | None) -> Measured | None:
    """The amount [g] in whole bags of ``bag_g`` [g], where that is near enough."""
    if bag_g is None:
        return None
    bags = round(grams / bag_g)
    if bags < 1 or abs(bags * bag_g - grams) > _NEAR * grams:
        return None
    return Measured("bags", bags * bag_g, float(bags), Content(bag_g, bag_g))


def in_buckets(grams: float, full: Content | None) -> Measured | None:
    """The amount [g] in whole, half or quarter buckets that weigh ``full`` [g], where that is near enough."""
    if full is None or grams > _MOST_BUCKETS * full.middle:
        return None
    exact = grams / full.middle
    for parts in (1, 2, 4):
        count = round(exact * parts) / parts
        if abs(count - exact) <= (_NEAR if parts < 4 else _ROUGH) * exact:
            return Measured("buckets", count * full.middle, count, full)
    return None
