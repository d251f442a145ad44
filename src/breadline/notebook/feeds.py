"""What is in a feed, the cheapest mix, and feeds side by side, for notebooks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from breadline.errors import RecipeError
from breadline.jobs import ration as jobs
from breadline.jobs import ration_told as told_of
from breadline.jobs.recipe_file import read_recipe, recipe_from_text
from breadline.jobs.recipe_written import RecipeFile
from breadline.language import say
from breadline.notebook.answer import InWords
from breadline.notebook.given import Given, path_of, toml_of
from breadline.notebook.table import Table, table_of


@dataclass(frozen=True)
class Analysis(InWords):
    """What a recipe holds.

    Parameters
    ----------
    parts
        One row an ingredient: ingredient, name, share_pct [% of mass as fed], source, read.
    amounts
        One row a content: what, unit, low and high [as the unit says], not_reported_by.
    amino_acids
        One row an amino acid: low and high, of what the pattern asks [share]; no rows where none is known.
    remarks
        What the rules say, hardest first: level, line, why, ask, source.
    """

    parts: Table = field(repr=False)
    amounts: Table = field(repr=False)
    amino_acids: Table = field(repr=False)
    remarks: Table = field(repr=False)


@dataclass(frozen=True)
class Solved(InWords):
    """The cheapest mix under a recipe's targets, or what stands against there being one.

    Parameters
    ----------
    found
        Whether every target can be kept; where not, ``mix`` is the nearest.
    cost_kg
        Of the mix; None where there is none. [money/kg]
    money
        Whose.
    mix
        One row an ingredient: ingredient, name, share_pct [% of mass], grams [g], bags [bags].
    binding
        One row a target that holds the cost up: target, unit, side, bound and step [unit], saving_per_kg
        [money/kg] for giving way by the step.
    price_ranges
        One row an ingredient: price_per_kg, and low and high between which the mix stands. [money/kg]
    """

    found: bool
    cost_kg: float | None
    money: str
    mix: Table = field(repr=False)
    binding: Table = field(repr=False)
    price_ranges: Table = field(repr=False)


@dataclass(frozen=True)
class Compared(InWords):
    """Feeds side by side; none is marked as best.

    Parameters
    ----------
    feeds
        One row a feed and content: feed, bought, what, unit, low and high [as the unit says]; an end that a
        label leaves open is None.
    """

    feeds: Table = field(repr=False)


def analyse(recipe: Given) -> Analysis:
    """What a recipe holds, as ranges, with whose blank makes each.

    Parameters
    ----------
    recipe
        The path of a recipe file, or what stands in one as tables.

    Errors
    ------
    RecipeError, FeedRefused
        With what to mend; a drug or pollen without papers is refused before anything is worked out.
    """
    told = told_of.analysis_document(jobs.analysed(_recipe(recipe)))
    amino = told["amino_acids"]
    return Analysis(
        told["sentences"][0],
        told,
        table_of(told["parts"]),
        table_of(told["amounts"]),
        table_of([] if amino is None else amino["each"], ("amino_acid", "low", "high")),
        table_of(told["remarks"], ("level", "line", "why", "ask", "source")),
    )


def solve(recipe: Given, prices: Mapping[str, float] | None = None) -> Solved:
    """The cheapest mix under a recipe's targets.

    Parameters
    ----------
    recipe
        The path of a recipe file, or what stands in one as tables; with its targets and prices.
    prices
        Other prices for this once, by ingredient, in the unit and money of those in the recipe.

    Errors
    ------
    RecipeError, FeedRefused
        With what to mend: no target, a price for what is not on offer, real pollen without papers.
    """
    told = told_of.solved_document(jobs.solved(_priced(_recipe(recipe), prices or {})))
    mix = told["mix"]
    return Solved(
        told["sentences"][0],
        told,
        told["answer"] == "mix",
        None if mix is None else mix["cost_per_kg"],
        "" if mix is None else mix["money"],
        table_of([] if mix is None else mix["parts"]),
        table_of(told["binding"]),
        table_of(told["price_ranges"]),
    )


def compare(recipes: Sequence[Given], order: Sequence[str] = ()) -> Compared:
    """Own recipes and the bought feeds in their files side by side, by name or in an order of your own.

    Parameters
    ----------
    recipes
        Paths of recipe files, or what stands in them as tables.
    order
        All names, in your own order; by name where not given.

    Errors
    ------
    RecipeError, FeedRefused
        As ``analyse``; or if two feeds bear one name, or the order does not name each once.
    """
    told = told_of.comparison_document(jobs.compared([_recipe(one) for one in recipes], order))
    rows = [
        {"feed": feed["name"], "bought": feed["bought"], **value}
        for feed in told["feeds"]
        for value in feed["values"]
    ]
    names = ", ".join(feed["name"] for feed in told["feeds"])
    return Compared(
        f"{len(told['feeds'])} feeds side by side, none marked as best: {names}", told, table_of(rows)
    )


def _recipe(given: Given) -> RecipeFile:
    path = path_of(given)
    if path is not None:
        return read_recipe(path)
    if not isinstance(given, Mapping):
        raise RecipeError(
            "the recipe", say("{name} is no recipe", name=type(given).__name__), say("a path, or its tables")
        )
    return recipe_from_text(toml_of(given), "the recipe")


def _priced(file: RecipeFile, prices: Mapping[str, float]) -> RecipeFile:
    now = {one.of: one for one in file.quotes}
    for name, price in prices.items():
        if name not in now:
            raise RecipeError(
                f"price of {name}",
                say("the recipe has none to take unit, money and year from"),
                ", ".join(now),
                say("Check the spelling, or write it as a [[price]]"),
            )
        if not price > 0:
            raise RecipeError(f"price of {name}", say("{price:g} is no price", price=price), say("above 0"))
        now[name] = replace(now[name], price=float(price))
    return replace(file, quotes=tuple(now.values()))
