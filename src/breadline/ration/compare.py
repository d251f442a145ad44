"""Feeds and own recipes side by side, by name. No feed is ranked; another order is the user's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from breadline.errors import RecipeError
from breadline.knowledge.amino_pattern import AminoPattern
from breadline.knowledge.ingredient import Content
from breadline.language import noted, say
from breadline.ration.amino import amino_score
from breadline.ration.analysis import Analysis, Ratio
from breadline.ration.bases import AS_FED, AS_FED_OWN, DRY, DRY_OWN
from breadline.ration.cost import Cost, recipe_cost
from breadline.ration.label import LabelReading
from breadline.ration.recipe import Recipe

# What is set side by side, with its unit, in this order.
LINES: Mapping[str, str] = {
    noted("crude protein as fed"): "%",
    noted("crude protein of dry matter"): "%",
    noted("protein as fed, own factor"): "%",
    noted("protein of dry matter, own factor"): "%",
    noted("useful protein as fed"): "%",
    noted("real pollen"): "%",
    noted("fat"): "%",
    noted("linoleic acid over linolenic"): "",
    noted("water"): "%",
    noted("sugars"): "%",
    noted("lactose"): "%",
    noted("starch"): "%",
    noted("ash"): "%",
    noted("sodium"): "mg/100 g",
    noted("potassium"): "mg/100 g",
    noted("cost of feed"): "money/kg",
    noted("cost of dry matter"): "money/kg",
    noted("cost of crude protein"): "money/kg",
}
_PROTEIN = ("crude protein as fed", "crude protein of dry matter")
_COSTS = ("cost of feed", "cost of dry matter", "cost of crude protein")
_SAME_NAME = ("fat", "water", "sugars", "lactose", "starch", "ash", "sodium", "potassium")


@dataclass(frozen=True)
class Column:
    """One feed: what is known of each of ``LINES``, in its unit; ``None`` where it cannot be said."""

    name: str
    bought: bool
    values: Mapping[str, Content | None]
    money: str = ""
    years: tuple[int, ...] = ()
    at_least: frozenset[str] = frozenset()  # of ``LINES``, what only a least is known of, as by a label
    at_most: frozenset[str] = frozenset()  # and what a most
    unpriced: tuple[str, ...] = ()  # ingredients without a price, so that it costs more than it says


@dataclass(frozen=True)
class Comparison:
    """Columns in the order in which they are shown, and whose order that is."""

    columns: tuple[Column, ...]
    order: str  # "by name" or "your own order"


def side_by_side(columns: Sequence[Column], order: Sequence[str] = ()) -> Comparison:
    """Feeds by name, or in the user's ``order`` of names.

    Errors
    ------
    RecipeError
        If two bear one name, or the order names one that is not there or leaves one out.
    """
    names = [column.name for column in columns]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise RecipeError(
            "comparison",
            say('"{twice}" stands there twice', twice=twice[0]),
            say("one name a feed"),
            say("Rename one"),
        )
    if not order:
        return Comparison(tuple(sorted(columns, key=lambda c: (c.name.casefold(), c.name))), "by name")
    odd = sorted(set(order) ^ set(names)) or [name for name in order if list(order).count(name) > 1]
    if odd:
        raise RecipeError(
            "order",
            _odd(odd[0], order, names),
            say("each once of {names}", names=", ".join(sorted(names))),
            say("List every feed once"),
        )
    place = {name: i for i, name in enumerate(order)}
    return Comparison(tuple(sorted(columns, key=lambda c: place[c.name])), "your own order")


def _odd(name: str, order: Sequence[str], names: Sequence[str]) -> str:
    """What is wrong with a name of an order: not a feed, left out, or there twice."""
    if name not in names:
        return f'"{name}" is none of the feeds'
    return f'"{name}" is left out' if name not in order else f'"{name}" is there twice'


def recipe_column(recipe: Recipe, analysis: Analysis, pattern: AminoPattern) -> Column:
    """An own recipe, its amino acids held against ``pattern``."""
    cost = recipe_cost(recipe, analysis)
    score = amino_score(analysis, pattern, "N × 6.25") if analysis.crude_protein.high > 0 else None
    values: dict[str, Content | None] = {
        "crude protein as fed": analysis.protein(AS_FED),
        "crude protein of dry matter": analysis.protein(DRY),
        "protein as fed, own factor": analysis.protein(AS_FED_OWN),
        "protein of dry matter, own factor": analysis.protein(DRY_OWN),
        "useful protein as fed": None if score is None else score.useful_protein,
        "real pollen": Content(100 * analysis.pollen_share, 100 * analysis.pollen_share),
        "linoleic acid over linolenic": _ratio(analysis.omega),
    }  # fmt: skip
    for name in _SAME_NAME:
        values[name] = analysis.amount(name)
    return _column(recipe.name, False, values, cost)


def label_column(reading: LabelReading) -> Column:
    """A bought feed; what its label does not name cannot be said."""
    pollen = reading.pollen_share
    values: dict[str, Content | None] = {
        "crude protein as fed": reading.protein_as_fed, "crude protein of dry matter": reading.protein_dry,
        "real pollen": None if pollen is None else Content(100 * pollen, 100 * pollen),
    }  # fmt: skip
    for name in _SAME_NAME:
        values[name] = reading.ingredient.content(name)
    if not reading.moisture_said:
        values["water"] = None
    column = _column(reading.name, True, values, reading.cost)
    ends = {name: reading.guaranteed(name) for name in ("protein", *_SAME_NAME)}
    lines = {"protein": _PROTEIN}
    low, high = (
        frozenset(line for name, end in ends.items() if end == side for line in lines.get(name, (name,)))
        for side in ("min", "max")
    )
    if _PROTEIN[0] in low:  # the least protein, so the dearest that a kilogram of it can be
        high |= {"cost of crude protein"}
    return replace(column, at_least=low, at_most=high)


def _column(name: str, bought: bool, values: dict[str, Content | None], cost: Cost | None) -> Column:
    if cost is not None:
        values |= dict(zip(_COSTS, (cost.feed, cost.dry_matter, cost.protein), strict=True))
    known = {line: values.get(line) for line in LINES}
    if cost is None:
        return Column(name, bought, known)
    least = frozenset(_COSTS if cost.unpriced else ())
    return Column(name, bought, known, cost.money, cost.years, least, unpriced=cost.unpriced)


def _ratio(found: Ratio) -> Content | None:
    if found.low is None:
        return None
    return Content(found.low, float("inf") if found.high is None else found.high)
