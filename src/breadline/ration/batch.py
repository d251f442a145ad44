"""A batch for the mixing room: how much of each ingredient, in buckets, bags and weights, in which order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import ceil, floor

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content, Ingredient
from breadline.ration.analysis import Analysis, analyse
from breadline.ration.batch_protein import MOST_MOVED, protein_moved, protein_spread
from breadline.ration.measuring import Bucket, Measured, in_bags, in_buckets, known_bulk, on_the_scale
from breadline.ration.measures import STEPS, System
from breadline.ration.recipe import Part, Recipe

_SMALLEST_G, _MOST_LOST = 100.0, 0.5  # below, and above, nobody means it [g], [share]
_A_LITTLE_LESS = 0.995  # how the amounts shrink until their rounded sum goes into the mixer [share]
_FULL_LOADS = tuple(1 - n / 100 for n in range(11))  # fillings tried where a full load is wanted [share]
_WORTH_OF_A_FULLER_LOAD = 0.5  # a load 2 % smaller must fit the buckets 1 % better [1] (judged)
# what goes in first: liquids, then sugar, then powders; oil last, so that it does not coat dry powder
_FIRST_IN = ("syrup", "honey", "water", "sugar")
_LAST_IN = ("oil", "acid")
_HALF = 0.5  # [buckets]
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
    full
        What a full bucket weighs, where known. [g]
    weigh_instead
        It is weighed because buckets or bags would move protein too far.
    """

    ingredient: Ingredient
    exact_g: float
    measured: Measured
    scale: Measured
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


@dataclass(frozen=True)
class BagUse:
    """Bags of one ingredient for all loads: how many are opened, and what stays in the last one."""

    ingredient: Ingredient
    bag_g: float  # [g]
    opened: int
    left_g: float  # [g]


@dataclass(frozen=True)
class Batch:
    """Equal mixer loads of a recipe, measured out as a mixing room can.

    Parameters
    ----------
    lines
        One load, in the order in which it goes in.
    before, after
        What the recipe contains as written, and as measured out.
    protein_moved
        By how much measuring out moves crude protein as fed. [percentage points]
    protein_between
        Crude protein as fed if every bucket is as light or heavy as it may be. [%]
    pieces, left_over_g
        Whole pieces of all loads together, and what is left over. [g]
    """

    recipe: Recipe
    mixing: Mixing
    loads: int
    lines: tuple[Line, ...]
    before: Analysis
    after: Analysis
    protein_moved: float  # [percentage points]
    protein_between: Content
    pieces: int
    left_over_g: float  # [g]
    bags: tuple[BagUse, ...]

    @property
    def load_g(self) -> float:
        """What one load weighs. [g]"""
        return sum(line.grams for line in self.lines)

    @property
    def mixed_g(self) -> float:
        """What all loads weigh, before anything is lost. [g]"""
        return self.load_g * self.loads

    @property
    def finished_g(self) -> float:
        """What is left to press, once the losses are off. [g]"""
        return self.mixed_g * (1 - self.mixing.lost)

    @property
    def moved_too_far(self) -> bool:
        """Whether measuring out moves protein further than may be without saying so."""
        return abs(self.protein_moved) > MOST_MOVED

    @property
    def to_weigh_first(self) -> tuple[Ingredient, ...]:
        """Ingredients whose bulk density nobody told: weigh one full bucket of each, once."""
        if self.mixing.bucket is None:
            return ()
        unknown = (line for line in self.lines if line.full is None and line.measured.vessel == "scale")
        return tuple(line.ingredient for line in unknown)


def batch_of(recipe: Recipe, mixing: Mixing) -> Batch:
    """The batch that makes what is wanted, in as few equal loads as the mixer allows.

    Errors
    ------
    RecipeError
        If the recipe is empty, an amount is not possible, a piece is larger than the batch, or a bulk
        density or bag is given for something that is not in the recipe.
    """
    before = analyse(recipe)
    _check(mixing, before)
    whole = mixing.load_g if mixing.wanted_g is None else mixing.wanted_g / (1 - mixing.lost)
    loads = max(1, ceil(whole / mixing.load_g - 1e-9))
    lines = (
        _full_load(recipe, before, mixing)
        if mixing.wanted_g is None
        else _fitting(recipe, before, mixing, whole / loads)
    )
    finished = sum(line.grams for line in lines) * loads * (1 - mixing.lost)
    pieces = floor(finished / mixing.piece_g + 1e-9)
    if pieces < 1:
        raise RecipeError("piece", f"{mixing.piece_g:g} g a piece is more than the whole batch",
                          f"at most {finished:.0f} g", "Give what one patty weighs")  # fmt: skip
    return Batch(
        recipe, mixing, loads, lines, before, analyse(measured_out(recipe, lines)),
        protein_moved(_exact(lines), _rounded(lines)), protein_spread(lines), pieces,
        max(0.0, finished - pieces * mixing.piece_g), _bags(lines, recipe, mixing, loads),
    )  # fmt: skip


def measured_out(recipe: Recipe, lines: tuple[Line, ...]) -> Recipe:
    """The recipe that really goes into the mixer: one load, in its order."""
    return Recipe(
        recipe.name, tuple(Part(line.ingredient, line.grams) for line in lines), recipe.prices, recipe.note
    )


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


def _full_load(recipe: Recipe, mix: Analysis, mixing: Mixing) -> tuple[Line, ...]:
    """The filling of the mixer that buckets and bags fit best, not far from full."""
    tries = [(share, _fitting(recipe, mix, mixing, mixing.load_g * share)) for share in _FULL_LOADS]
    return min(tries, key=lambda t: _off(t[1]) + _WORTH_OF_A_FULLER_LOAD * (1 - t[0]))[1]


def _off(lines: tuple[Line, ...]) -> float:
    return sum(abs(line.grams - line.exact_g) for line in lines) / sum(line.exact_g for line in lines)


def _fitting(recipe: Recipe, mix: Analysis, mixing: Mixing, load_g: float) -> tuple[Line, ...]:
    """Lines whose rounded sum goes into the mixer."""
    wanted = load_g
    while True:
        lines = _lines(recipe, mix, mixing, wanted)
        if sum(line.grams for line in lines) <= mixing.load_g * (1 + 1e-9):
            return lines
        wanted *= _A_LITTLE_LESS


def _lines(recipe: Recipe, mix: Analysis, mixing: Mixing, load_g: float) -> tuple[Line, ...]:
    lines = [
        _line(kind, mix.shares[kind.key] * load_g, recipe, mixing)
        for kind in in_order(list(mix.ingredients.values()))
    ]
    if not mixing.keep_buckets:
        lines = _weighed_where_needed(lines)
    return tuple(_finer_where_needed(lines, mixing.system))


def _line(kind: Ingredient, grams: float, recipe: Recipe, mixing: Mixing) -> Line:
    bulk = known_bulk(kind, mixing.bulk) if mixing.bucket else None
    full = mixing.bucket.full(bulk) if mixing.bucket and bulk else None
    scale = on_the_scale(grams, mixing.system)
    buckets = in_buckets(grams, full)
    if buckets and buckets.count < _HALF and is_wet(kind):
        buckets = None  # a jug on the scale: nobody pours a quarter bucket of oil
    found = in_bags(grams, _bag_g(kind.key, recipe, mixing)) or buckets or scale
    return Line(kind, grams, found, scale, full)


def _weighed_where_needed(lines: list[Line]) -> list[Line]:
    """Puts on the scale, one by one, the amounts whose buckets or bags move protein too far."""
    while abs(protein_moved(_exact(lines), _rounded(lines))) > MOST_MOVED:
        loose = [n for n, line in enumerate(lines) if line.measured.vessel != "scale"]
        if not loose:
            break
        tries = [[_weighed(line) if n == m else line for m, line in enumerate(lines)] for n in loose]
        lines = min(tries, key=lambda those: abs(protein_moved(_exact(those), _rounded(those))))
    return lines


def _weighed(line: Line) -> Line:
    return Line(line.ingredient, line.exact_g, line.scale, line.scale, line.full, weigh_instead=True)


def _finer_where_needed(lines: list[Line], system: System) -> list[Line]:
    """Takes finer steps on the scale where the practical ones move protein too far."""
    for finer in range(1, len(STEPS[system])):
        if abs(protein_moved(_exact(lines), _rounded(lines))) <= MOST_MOVED:
            break
        lines = [_on_a_finer_scale(line, system, finer) for line in lines]
    return lines


def _on_a_finer_scale(line: Line, system: System, finer: int) -> Line:
    if line.measured.vessel != "scale":
        return line
    scale = on_the_scale(line.exact_g, system, finer)
    return Line(line.ingredient, line.exact_g, scale, scale, line.full, line.weigh_instead)


def _exact(lines: list[Line] | tuple[Line, ...]) -> list[tuple[float, Content]]:
    return [(line.exact_g, line.ingredient.crude_protein) for line in lines]


def _rounded(lines: list[Line] | tuple[Line, ...]) -> list[tuple[float, Content]]:
    return [(line.grams, line.ingredient.crude_protein) for line in lines]


def _bag_g(key: str, recipe: Recipe, mixing: Mixing) -> float | None:
    if key in mixing.bag_g:
        return mixing.bag_g[key]
    price = recipe.prices.get(key)
    return None if price is None or price.bag_kg is None else price.bag_kg * 1000.0


def _bags(lines: tuple[Line, ...], recipe: Recipe, mixing: Mixing, loads: int) -> tuple[BagUse, ...]:
    used = []
    for line in lines:
        bag = _bag_g(line.ingredient.key, recipe, mixing)
        if bag is not None:
            needed = line.grams * loads
            opened = ceil(needed / bag - 1e-9)
            used.append(BagUse(line.ingredient, bag, opened, max(0.0, opened * bag - needed)))
    return tuple(used)


def _check(mixing: Mixing, mix: Analysis) -> None:
    amounts = {"mixer": mixing.load_g, "amount wanted": mixing.wanted_g}
    for where, grams in amounts.items():
        if grams is not None and not _SMALLEST_G <= grams < float("inf"):
            raise RecipeError(where, f"{grams:g} g is not possible", f"at least {_SMALLEST_G:g} g",
                              "Check the number and its unit")  # fmt: skip
    if not 0 < mixing.piece_g < float("inf"):
        raise RecipeError("piece", f"{mixing.piece_g:g} g is no piece", "a weight above 0", "Give its weight")
    if not 0 <= mixing.lost <= _MOST_LOST:
        raise RecipeError("mixing loss", f"{mixing.lost:g} is not possible", f"0 to {_MOST_LOST:g} of the mix",
                          "Give it as a share: 0.02 for two in a hundred")  # fmt: skip
    for where, told in (("bulk density", mixing.bulk), ("bag", mixing.bag_g)):
        stray = sorted(set(told) - set(mix.ingredients))
        if stray:
            raise RecipeError(where, f"“{stray[0]}” is not in the recipe",
                              f"one of {', '.join(mix.ingredients)}", "Check the spelling")  # fmt: skip
    light = next((key for key, grams in mixing.bag_g.items() if not 0 < grams < float("inf")), None)
    if light is not None:
        raise RecipeError("bag", f"a bag of {mixing.bag_g[light]:g} g of {light} is not possible",
                          "a weight above 0", "Give what a bag weighs, with its unit")  # fmt: skip
