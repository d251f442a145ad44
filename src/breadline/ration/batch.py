"""A batch for the mixing room: how much of each ingredient, in buckets, bags and weights, in which order."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from breadline.errors import RecipeError
from breadline.knowledge.drug_words import kinds_named
from breadline.knowledge.ingredient import Content, Ingredient
from breadline.language import say
from breadline.ration.analysis import Analysis, analyse
from breadline.ration.batch_lines import Line, Mixing, bag_of, load_lines, moved_by
from breadline.ration.batch_protein import MOST_MOVED, protein_spread
from breadline.ration.measures import STEPS
from breadline.ration.recipe import Part, Recipe
from breadline.ration.remark import remark

_PRESSED_ALIKE = 0.03  # a last piece that is so little too light is a whole one [share] (judged)
_MOST_LOADS = 500
_SMALLEST_G, _MOST_LOST = 100.0, 0.5  # below, and above, nobody means it [g], [share]


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
    def short_g(self) -> float:
        """By how much less than was wanted comes out. [g]"""
        wanted = self.mixing.wanted_g
        return 0.0 if wanted is None else max(0.0, wanted - self.finished_g)

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
        If a drug is named in it, the recipe is empty, an amount is not possible, a piece is larger than
        the batch, or a bulk density or bag is given for something that is not in the recipe.
    """
    _no_drugs(recipe)
    before = analyse(recipe)
    _check(mixing, before)
    whole = mixing.load_g if mixing.wanted_g is None else mixing.wanted_g / (1 - mixing.lost)
    loads = max(1, ceil(whole / mixing.load_g - 1e-9))
    if loads > _MOST_LOADS:
        raise RecipeError(
            "mixer",
            say("it would take {loads:,} loads", loads=loads),
            say("at most {most_loads}", most_loads=_MOST_LOADS),
            say("Check the units of the mixer and of the amount wanted"),
        )
    lines = load_lines(recipe, before, mixing, whole / loads)
    finished = sum(line.grams for line in lines) * loads * (1 - mixing.lost)
    pieces = floor(finished / mixing.piece_g + _PRESSED_ALIKE)
    if pieces < 1:
        raise RecipeError(
            "piece",
            say("{piece_g:g} g a piece is more than the whole batch", piece_g=mixing.piece_g),
            say("at most {finished:.0f} g", finished=finished),
            say("Give what one patty weighs"),
        )
    return Batch(
        recipe,
        mixing,
        loads,
        lines,
        before,
        analyse(measured_out(recipe, lines)),
        moved_by(lines),
        protein_spread(lines),
        pieces,
        max(0.0, finished - pieces * mixing.piece_g),
        _bags(lines, recipe, mixing, loads),
    )


def measured_out(recipe: Recipe, lines: tuple[Line, ...]) -> Recipe:
    """The recipe that really goes into the mixer: one load, in its order."""
    return Recipe(
        recipe.name, tuple(Part(line.ingredient, line.grams) for line in lines), recipe.prices, recipe.note
    )


def _bags(lines: tuple[Line, ...], recipe: Recipe, mixing: Mixing, loads: int) -> tuple[BagUse, ...]:
    used = []
    for line in lines:
        bag = bag_of(line.ingredient.key, recipe, mixing)
        if bag is not None:
            needed = line.grams * loads
            opened = ceil(needed / bag - 1e-9)
            used.append(BagUse(line.ingredient, bag, opened, max(0.0, opened * bag - needed)))
    return tuple(used)


def _no_drugs(recipe: Recipe) -> None:
    """Refuses before anything is computed; the answer repeats neither the name nor an amount."""
    texts = [recipe.name, recipe.note, *(part.ingredient.name for part in recipe.parts)]
    kinds = [kind for text in texts for kind in kinds_named(text)]
    for kind in dict.fromkeys(kinds):
        said = remark(kind)
        if said.level == "refuse":
            raise RecipeError("batch", said.line, say("a feed without it"), say("Ask {ask}", ask=said.ask))


def _check(mixing: Mixing, mix: Analysis) -> None:
    if mixing.system not in STEPS:
        raise RecipeError(
            "unit",
            say("“{system}” is not known", system=mixing.system),
            " or ".join(STEPS),
            say("Choose one"),
        )
    amounts = {"mixer": mixing.load_g, "amount wanted": mixing.wanted_g}
    for where, grams in amounts.items():
        if grams is not None and not _SMALLEST_G <= grams < float("inf"):
            raise RecipeError(
                where,
                say("{grams:g} g is not possible", grams=grams),
                say("at least {smallest_g:g} g", smallest_g=_SMALLEST_G),
                say("Check the number and its unit"),
            )
    if not 0 < mixing.piece_g < float("inf"):
        raise RecipeError(
            "piece",
            say("{piece_g:g} g is no piece", piece_g=mixing.piece_g),
            say("a weight above 0"),
            say("Give its weight"),
        )
    if not 0 <= mixing.lost <= _MOST_LOST:
        raise RecipeError(
            "mixing loss",
            say("{lost:g} is not possible", lost=mixing.lost),
            say("0 to {most_lost:g}", most_lost=_MOST_LOST),
            say("Give it as a share: 0.02 for two in a hundred"),
        )
    for where, told in ((say("bulk density"), mixing.bulk), ("bag", mixing.bag_g)):
        stray = sorted(set(told) - set(mix.ingredients))
        if stray:
            raise RecipeError(
                where,
                say("“{stray}” is not in the recipe", stray=stray[0]),
                say("one of {ingredients}", ingredients=", ".join(mix.ingredients)),
                say("Check the spelling"),
            )
    light = next((key for key, grams in mixing.bag_g.items() if not 0 < grams < float("inf")), None)
    if light is not None:
        raise RecipeError(
            "bag",
            say("a bag of {bag_g:g} g of {light} is not possible", bag_g=mixing.bag_g[light], light=light),
            say("a weight above 0"),
            say("Give what a bag weighs, with its unit"),
        )
