"""The batches of a book as lines for the terminal and as a document, newest first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from breadline.errors import InputToMend
from breadline.jobs.ration_terms import told_in
from breadline.jobs.recipe_book import BatchKept, RecipeBook
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_written import RecipeFile
from breadline.language import noted, say, say_counted
from breadline.need.words import day_and_year
from breadline.ration.measures import System, weight_said

Line = tuple[str, str]  # style, text
NONE = noted("No batch is written down in this book yet. breadline ration batch RECIPE --book BOOK does it.")


def batch_history(book: RecipeBook) -> Iterator[Line]:
    """Every batch with its day, its recipe, what it weighed and what went in."""
    kept = book.batches()
    if not kept:
        yield "bold", say(NONE)
        return
    yield (
        "bold",
        say_counted("{n} batch is written down.", "{n} batches are written down.", len(kept)),
    )
    for one in reversed(kept):
        names, system = _known(book, one)
        weight = weight_said(_grams(one), system)
        loads = "" if one.loads == 1 else say(" in {loads} loads", loads=one.loads)
        yield "", ""
        yield (
            "bold",
            say(
                "Batch {number}, {day}: {recipe}, {weight}{loads}",
                number=one.number,
                day=day_and_year(one.on),
                recipe=one.recipe,
                weight=weight,
                loads=loads,
            ),
        )
        yield (
            "",
            say(" - {pieces} pieces of {weight}", pieces=one.pieces, weight=weight_said(one.piece_g, system)),
        )
        for key, grams in one.measured:
            yield "", f" - {weight_said(grams * one.loads, system)} {names.get(key, key)}"
        if one.note:
            yield "", f" - {one.note}"


def batches_document(book: RecipeBook) -> dict[str, Any]:
    """The same; its shape is ``breadline.batches/1``."""
    return {
        "shape": "breadline.batches/1",
        "batches": [
            {"number": one.number, "on": one.on.isoformat(), "recipe": one.recipe, "loads": one.loads,
             "grams": round(_grams(one), 1), "pieces": one.pieces, "piece_g": round(one.piece_g, 1),
             "measured": [{"ingredient": key, "grams": round(g * one.loads, 1)} for key, g in one.measured],
             "note": one.note}
            for one in reversed(book.batches())
        ],
    }  # fmt: skip


def _grams(one: BatchKept) -> float:
    """All loads together. [g]"""
    return one.loads * sum(grams for _, grams in one.measured)


def _known(book: RecipeBook, one: BatchKept) -> tuple[dict[str, str], System]:
    """Names by key, and pounds or kilograms, as the recipe has them now; what is shipped where it is gone."""
    try:
        file = book.version(one.recipe).file
    except InputToMend:
        file = RecipeFile(one.recipe)
    return {key: kind.name for key, kind in all_ingredients(file).items()}, told_in(file)
