"""A recipe as a file that can be sent to a friend: TOML, read and written."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from breadline.errors import RecipeError
from breadline.jobs import recipe_tables as tables
from breadline.jobs.recipe_checks import check_money, check_shares, check_twice
from breadline.jobs.recipe_fields import Lines, RecipeTable, Spot
from breadline.jobs.recipe_refusals import refuse_drugs
from breadline.jobs.recipe_text import recipe_to_toml
from breadline.jobs.recipe_written import RecipeFile
from breadline.knowledge.ingredient import Ingredient
from breadline.knowledge.ingredients import ingredients
from breadline.language import say

__all__ = ["read_recipe", "recipe_from_text", "recipe_to_toml"]

ONE_BRACKET = re.compile(r"^[ \t]*\[(part|ingredient|feed|price|target)\]", re.MULTILINE)
COMMA = re.compile(r"^([ \t]*\w+[ \t]*=[ \t]*)(-?\d+),(\d+)[ \t]*(?:#.*)?\r?$", re.MULTILINE)
AT = re.compile(r"\(at line (\d+), column \d+\)")

TOP = ("name", "note", "country", "money", "year", "part", "ingredient", "feed", "price", "target", "solve",
       "mixing", "pollen", "known")  # fmt: skip


def read_recipe(path: Path | str, known: Mapping[str, Ingredient] | None = None) -> RecipeFile:
    """The recipe of a file.

    Errors
    ------
    RecipeError
        If the file is not there, empty, not UTF-8, not TOML, or something in it
        is missing or impossible; names file, line, table, key and value. A drug
        named in it is refused before anything else is read.
    """
    try:
        raw = Path(path).read_bytes()
    except OSError as error:
        raise RecipeError(
            str(path),
            say("it can't be read ({strerror})", strerror=error.strerror),
            say("a recipe file (.toml)"),
        ) from None
    where = Path(path).name
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecipeError(
            where, say("the file is not in UTF-8"), say("a text file in UTF-8"),
            say("Save it again with the encoding \"UTF-8\" in your editor"),
        ) from None  # fmt: skip
    return recipe_from_text(text, where, known)


def recipe_from_text(text: str, where: str, known: Mapping[str, Ingredient] | None = None) -> RecipeFile:
    """The recipe of a text; ``where`` is how it is called in messages.

    Errors
    ------
    RecipeError
        As ``read_recipe``.
    """
    if not text.strip():
        raise RecipeError(
            where,
            say("the file is empty"),
            say("a recipe"),
            say("Start from examples/first-recipe/recipe.toml"),
        )
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise _not_toml(text, where, str(error)) from None
    lines = Lines(text)
    refuse_drugs(data, Spot(where, lines))
    return _recipe(data, where, lines, ingredients() if known is None else known)


def _not_toml(text: str, where: str, error: str) -> RecipeError:
    """What to write where a number has a decimal comma or a list has one bracket, and the line."""
    line, do = AT.search(error), ""
    spot = f"{where}, line {line[1]}" if line else where
    if once := ONE_BRACKET.search(text):
        spot = f"{where}, line {text.count(chr(10), 0, once.start(1)) + 1}"
        do = say("Write [[{once}]] with two brackets, each time", once=once[1])
    elif comma := COMMA.search(text):
        spot = f"{where}, line {text.count(chr(10), 0, comma.start(1)) + 1}"
        do = say(
            "A number has a point: write {what} {comma}.{comma2}",
            what=comma[1].strip(),
            comma=comma[2],
            comma2=comma[3],
        )
    return RecipeError(spot, say("it is not TOML: {what}", what=AT.sub('', error).strip()),
                       say("lines such as amount = 2.5 and unit = \"kg\""), do)  # fmt: skip


def _recipe(
    data: Mapping[str, Any], where: str, lines: Lines, shipped: Mapping[str, Ingredient]
) -> RecipeFile:
    top = RecipeTable(data, Spot(where, lines), TOP)
    name = top.needed_text("name", say("what you call the recipe"))
    mixing = tables.mixing(_table(data, where, lines, "mixing", tables.MIXING))
    labels = _list(data, where, lines, "ingredient", tables.INGREDIENT)
    bought = _list(data, where, lines, "feed", tables.FEED)
    own = tuple(tables.own(t, shipped) for t in labels)
    names = {key: one.name for key, one in shipped.items()} | {one.key: one.name for one in own}
    feeds = tuple(tables.feed(t) for t in bought)
    check_twice(labels, "key", [one.key for one in own])
    check_twice(bought, "name", [one.name for one in feeds])
    parts = _list(data, where, lines, "part", tables.PART)
    prices = _list(data, where, lines, "price", tables.PRICE)
    solve = _table(data, where, lines, "solve", tables.SOLVE)
    aims = _list(data, where, lines, "target", tables.TARGET)
    amounts = tuple(tables.amount(t, names, mixing) for t in parts)
    top.whole("year", 1980, 2150)  # also where no price goes by it
    quotes = tuple(tables.quote(t, names, [f.name for f in feeds], top) for t in prices)
    if not amounts and not feeds and solve is None:
        raise top.error(
            "part", say("no ingredient is written down"), say("a [[part]] for each, or a [[feed]]")
        )
    check_twice(parts, "ingredient", [one.ingredient for one in amounts])
    check_twice(prices, "of", [one.of for one in quotes])
    check_shares(parts, amounts)
    check_money(prices, quotes)
    return RecipeFile(
        name, amounts, top.text("note"), tables.country(top), own, feeds, quotes,
        tuple(tables.aim(t, names) for t in aims), tables.solving(solve, names), mixing,
        tables.pollen(_table(data, where, lines, "pollen", tables.POLLEN)),
        tables.known(_table(data, where, lines, "known", tables.KNOWN)),
    )  # fmt: skip


def _table(
    data: Mapping[str, Any], where: str, lines: Lines, heading: str, known: tuple[str, ...]
) -> RecipeTable | None:
    if heading not in data:
        return None
    return RecipeTable(data[heading], Spot(where, lines, heading), known)


def _list(
    data: Mapping[str, Any], where: str, lines: Lines, heading: str, known: tuple[str, ...]
) -> list[RecipeTable]:
    items = data.get(heading, [])
    if not isinstance(items, list):
        raise RecipeError(
            Spot(where, lines, heading).where(),
            say("it is one table"),
            say("a list: write [[{heading}]] with two brackets", heading=heading),
        )
    return [RecipeTable(item, Spot(where, lines, heading, n, True), known) for n, item in enumerate(items, 1)]
