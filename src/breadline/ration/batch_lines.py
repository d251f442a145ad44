"""The lines of a batch: which measure each ingredient is given in, and in which order they go in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from breadline.knowledge.ingredient import Content, Ingredient
from breadline.ration.analysis import Analysis
from breadline.ration.batch_protein import MOST_MOVED, protein_moved
from breadline.ration.measures import STEPS, System
from breadline.ration.measuring import Bucket, Measured, in_bags, in_buckets, known_bulk, on_the_scale
from breadline.ration.recipe import Recipe

_FULL = 1.01  # nobody fills a mixer more exactly than this [share] (judged)
_A_LITTLE_LESS = 0.995  # how the amounts shrink until their rounded sum goes into the mixer [share]
_FULL_LOADS = tuple(1 - n / 100 for n in range(11))  # fillings tried where a full load is wanted [share]
_WANTED_LOADS = tuple(1 + n / 200 for n in range(11))  # and where so much feed is wanted [share]
_WORTH_OF_THE_AMOUNT = 0.5  # a load off by 2 % must fit the buckets 1 % better [1] (judged)
_WORTH_OF_ENOUGH = 5.0  # less than was wanted is ten times as bad as more [1] (judged)
_HALF = 0.5  # [buckets]
# what goes in first: liquids, then sugar, then powders; oil last, so that it does not coat dry powder
_FIRST_IN = ("syrup", "honey", "water", "sugar")
_LAST_IN = ("oil", "acid")
_WET = frozenset({"syrup", "honey", "water", "oil", "acid"})


@dataclass(frozen=True)
class Mixing:
    """How the user mixes.

    Parameters
    ----------
    load_g, piece_g
        The most that the mixer takes, and what one patty or bag shall weigh. [g]
    system
        Pounds or kilograms; amounts are rounded in it.
    wanted_g
        Finished feed wanted [g]; ``None`` for one full load.
    bucket
        The user's own; without one everything is weighed.
    bulk
        The user's own bulk densities by ingredient key, before the shipped ones. [g/mL]
    bag_g
        What a bag weighs, by ingredient key, before the bags of the prices. [g]
    lost
        What sticks to the drum and the press. [share]
    keep_buckets
        Stay with buckets where they move protein further than may be; it is then said, and the
        weights are offered.
    """

    load_g: float
    piece_g: float
    system: System
    wanted_g: float | None = None
    bucket: Bucket | None = None
    bulk: Mapping[str, Content] = field(default_factory=dict)
    bag_g: Mapping[str, float] = field(default_factory=dict)
    lost: float = 0.0
    keep_buckets: bool = False


@dataclass(frozen=True)
class Line:
    """One ingredient of one load.

    Parameters
    ----------
    exact_g
        What the recipe asks for. [g]
    measured
        How it is measured out, and so what goes in.
    scale
        The same amount as a weight, offered beside buckets and bags.
    bulk, full
        Its bulk density [g/mL] and what a full bucket weighs [g], where known.
    weigh_instead
        It is weighed because buckets or bags would move protein too far.
    """

    ingredient: Ingredient
    exact_g: float
    measured: Measured
    scale: Measured
    bulk: Content | None = None
    full: Content | None = None
    weigh_instead: bool = False

    @property
    def grams(self) -> float:
        """What goes in. [g]"""
        return self.measured.grams

    @property
    def wet(self) -> bool:
        """Whether it goes into the wet buckets; wet and dry ones stay apart."""
        return is_wet(self.ingredient)


def load_lines(recipe: Recipe, mix: Analysis, mixing: Mixing, load_g: float) -> tuple[Line, ...]:
    """One load of about ``load_g`` [g]: the filling near it that buckets and bags fit best.

    Where feed is wanted the load may be a little larger, so that enough comes out; where a full load is
    wanted, a little smaller.
    """
    tries = [
        _fitting(recipe, mix, mixing, min(load_g * share, mixing.load_g))
        for share in (_FULL_LOADS if mixing.wanted_g is None else _WANTED_LOADS)
    ]
    return min(tries, key=lambda lines: _badness(lines, load_g, mixing.wanted_g is not None))


def _badness(lines: tuple[Line, ...], load_g: float, all_of_it: bool) -> float:
    whole = sum(line.grams for line in lines)
    off = sum(abs(line.grams - line.exact_g) for line in lines) / whole
    short = max(0.0, load_g - whole) / load_g
    over = max(0.0, whole - load_g) / load_g
    return (
        off + _WORTH_OF_THE_AMOUNT * over + (_WORTH_OF_ENOUGH if all_of_it else _WORTH_OF_THE_AMOUNT) * short
    )


def _fitting(recipe: Recipe, mix: Analysis, mixing: Mixing, load_g: float) -> tuple[Line, ...]:
    """Lines whose rounded sum goes into the mixer."""
    wanted = load_g
    while True:
        lines = _lines(recipe, mix, mixing, wanted)
        if sum(line.grams for line in lines) <= mixing.load_g * _FULL:
            return lines
        wanted *= _A_LITTLE_LESS


def _lines(recipe: Recipe, mix: Analysis, mixing: Mixing, load_g: float) -> tuple[Line, ...]:
    amounts = [(kind, mix.shares[kind.key] * load_g) for kind in in_order(list(mix.ingredients.values()))]
    for finer in range(len(STEPS[mixing.system])):  # coarse steps, unless they alone move protein too far
        lines = [_line(kind, on_the_scale(grams, mixing.system, finer), grams, recipe, mixing)
                 for kind, grams in amounts]  # fmt: skip
        if abs(moved_by([_weighed(line) for line in lines])) <= MOST_MOVED:
            break
    return tuple(lines if mixing.keep_buckets else _weighed_where_needed(lines))


def _line(kind: Ingredient, scale: Measured, grams: float, recipe: Recipe, mixing: Mixing) -> Line:
    bulk = known_bulk(kind, mixing.bulk)
    full = mixing.bucket.full(bulk) if mixing.bucket and bulk else None
    buckets = in_buckets(grams, full)
    if buckets and buckets.count < _HALF and is_wet(kind):
        buckets = None  # a jug on the scale: nobody pours a quarter bucket of oil
    found = in_bags(grams, bag_of(kind.key, recipe, mixing)) or buckets or scale
    return Line(kind, grams, found, scale, bulk, full)


def _weighed_where_needed(lines: list[Line]) -> list[Line]:
    """Puts on the scale, one by one, the amounts whose buckets or bags move protein too far."""
    while abs(moved_by(lines)) > MOST_MOVED:
        loose = [n for n, line in enumerate(lines) if line.measured.vessel != "scale"]
        if not loose:
            break
        tries = [[_weighed(line) if n == m else line for m, line in enumerate(lines)] for n in loose]
        lines = min(tries, key=lambda those: abs(moved_by(those)))
    return lines


def _weighed(line: Line) -> Line:
    return replace(line, measured=line.scale, weigh_instead=True)


def moved_by(lines: Sequence[Line]) -> float:
    """By how much measuring out moves crude protein as fed. [percentage points]"""
    proteins = [line.ingredient.crude_protein for line in lines]
    return protein_moved(
        [(line.exact_g, protein) for line, protein in zip(lines, proteins, strict=True)],
        [(line.grams, protein) for line, protein in zip(lines, proteins, strict=True)],
    )


def bag_of(key: str, recipe: Recipe, mixing: Mixing) -> float | None:
    """What a bag of an ingredient weighs, where anybody said so. [g]"""
    if key in mixing.bag_g:
        return mixing.bag_g[key]
    price = recipe.prices.get(key)
    return None if price is None or price.bag_kg is None else price.bag_kg * 1000.0


def in_order(ingredients: list[Ingredient]) -> list[Ingredient]:
    """Syrup first, then honey and water, sugar, dry powders as they are written, oil, acid."""
    return sorted(ingredients, key=_turn)


def is_wet(ingredient: Ingredient) -> bool:
    """Whether it is poured: syrup, honey, water, oil, and acid that is no powder."""
    traits = ingredient.traits
    return bool(traits & _WET) and not ("acid" in traits and "powder" in traits)


def _turn(ingredient: Ingredient) -> int:
    for turn, trait in enumerate(_FIRST_IN):
        if trait in ingredient.traits:
            return turn
    late = [len(_FIRST_IN) + 1 + n for n, trait in enumerate(_LAST_IN) if trait in ingredient.traits]
    return late[0] if late else len(_FIRST_IN)
