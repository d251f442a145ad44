"""``breadline ration``: analyse, solve, compare, batch and batches, printed sentence first."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, cast, get_args

from rich.console import Console
from rich.table import Table

from breadline.cli.printed import Paper as Screen
from breadline.cli.printed import say, shown, told
from breadline.errors import RecipeError, RecordError
from breadline.jobs import ration as jobs
from breadline.jobs import ration_lines as lines
from breadline.jobs import ration_told as documents
from breadline.jobs.batches_told import batch_history, batches_document
from breadline.jobs.ration_terms import offered, told_in
from breadline.jobs.recipe_book import RecipeBook, Version
from breadline.jobs.recipe_file import read_recipe, recipe_to_toml
from breadline.jobs.recipe_written import Quote, RecipeFile
from breadline.knowledge.edits import edits_from_toml
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say as worded
from breadline.ration.compare import LINES
from breadline.ration.model import Progress
from breadline.ration.plain_words import PER, percent, price
from breadline.records.address import BookAt
from breadline.records.engine import is_there
from breadline.sheets.batch_sheet import Paper

PRICE = re.compile(r"\s*(?P<of>[^=]+?)\s*=\s*(?P<price>\d+(?:\.\d+)?)\s*/\s*(?P<per>kg|lb|t)\s*")
NARROW = 72  # letters a line below which columns cannot be read
MOST_COLUMNS = 4


@dataclass(frozen=True)
class Asking:
    """What was typed."""

    recipe: str
    book: BookAt | None
    figures: Path | None
    as_json: bool


@dataclass(frozen=True)
class Sheet:
    """What was typed of the batch sheet."""

    out: Path | None
    number: str | None
    on: str | None
    meant_for: str
    paper: str | None


@dataclass(frozen=True)
class Loaded:
    """A recipe with the book it stands in, the book's prices and the figures."""

    file: RecipeFile
    book: RecipeBook | None
    quotes: Mapping[str, Quote]
    shelf: Shelf
    given: bool = False  # as a file, so that a book keeps it


def analyse(asking: Asking) -> None:
    """Print what a recipe contains."""
    there = _loaded(asking)
    found = jobs.analysed(there.file, there.quotes, there.shelf)
    kept = _keep(there)
    if asking.as_json:
        shown(documents.analysis_document(found))
        return
    told(lines.analysis_lines(found))
    _say_kept(kept, asking)


def solve(asking: Asking, prices: Sequence[str], out: Path | None, seconds: float | None) -> None:
    """Print the cheapest mix or what is at odds; write the mix where a file is named."""
    there = _loaded(asking)
    file = _priced(there.file, there.quotes, prices)
    if seconds is not None:
        file = replace(file, solving=replace(file.solving, seconds=seconds))
    console, system = Console(stderr=True), told_in(file)
    money = next((quote.money for quote in file.quotes), "")
    with console.status(worded("Looking for the cheapest mix …")) as status:

        def watch(progress: Progress) -> None:
            status.update(
                worded(
                    "Cheapest so far {price} a {per}; up to {gap} cheaper may exist …",
                    price=price(progress.cost, money, system),
                    per=worded(PER[system]),
                    gap=percent(progress.gap),
                )
            )

        found = jobs.solved(file, there.quotes, there.shelf, watch)
    kept = _keep(there)
    mix = jobs.solved_file(found)
    if out is not None and mix is not None:
        out.write_text(recipe_to_toml(mix), encoding="utf-8")
    if asking.as_json:
        shown(documents.solved_document(found))
        return
    told(lines.solved_lines(found))
    if out is not None:
        say(
            "",
            worded("Recipe written to {out}", out=out)
            if mix is not None
            else worded("There is no mix to write to {out}.", out=out),
        )
    _say_kept(kept, asking)


def compare(recipes: Sequence[str], order: Sequence[str], asking: Asking) -> None:
    """Print feeds side by side."""
    there = [_loaded(replace(asking, recipe=recipe)) for recipe in recipes]
    found = jobs.compared([one.file for one in there], order, there[0].quotes, there[0].shelf)
    if asking.as_json:
        shown(documents.comparison_document(found))
        return
    paper, columns = Screen(), found.comparison.columns
    if paper.letters < NARROW or len(columns) > MOST_COLUMNS:
        told(lines.comparison_lines(found))
        return
    paper.print(_table(found), soft_wrap=False)
    say("")
    told(lines.label_lines(found))


def batch(asking: Asking, sheet: Sheet) -> None:
    """Print a batch; write its sheet where a file is named, and keep it where a book is."""
    there = _loaded(asking)
    on = _day(sheet.on)
    number = sheet.number or (on.isoformat() if there.book is None else there.book.next_number(on))
    paper = _paper(sheet.paper, there.file)
    found = jobs.batched(there.file, number.strip(), on, there.quotes, there.shelf)
    version = ""
    if there.book is not None:
        there.book.keep_batch(found, sheet.meant_for.strip())
        version = there.book.version(found.file.name).words
    if sheet.out is not None:
        with Console(stderr=True).status(worded("Drawing the sheet …")):
            sheet.out.write_bytes(jobs.sheet_of(found, paper, sheet.meant_for, version))
    if asking.as_json:
        shown(documents.batch_document(found, None if sheet.out is None else str(sheet.out)))
        return
    told(lines.batch_lines(found))
    say("", *([] if sheet.out is None else [worded("Batch sheet written to {out}", out=sheet.out)]))
    if asking.book is not None:
        told(
            [
                (
                    "dim",
                    worded(
                        "Kept in {book}: batch {number}, recipe {version}.",
                        book=asking.book,
                        number=found.number,
                        version=version,
                    ),
                )
            ]
        )


def batches(book: BookAt, as_json: bool) -> None:
    """Print the batches of a book; none is made where there is none."""
    if not is_there(book):
        raise RecordError(
            str(book), worded("there is no such book"), worded("a book of records"),
            worded("breadline ration batch RECIPE --book BOOK begins one"),
        )  # fmt: skip
    desk = RecipeBook(book)
    if as_json:
        shown(batches_document(desk))
        return
    told(batch_history(desk))


def _loaded(asking: Asking) -> Loaded:
    """A recipe file; or a recipe of the book by its name, where there is no such file."""
    path = Path(asking.recipe)
    named = asking.book is not None and not path.exists() and path.suffix != ".toml"
    file = None if named else read_recipe(path)  # before a book is opened, which makes one
    book = None if asking.book is None else RecipeBook(asking.book)
    quotes: Mapping[str, Quote] = {} if book is None else book.quotes()
    if asking.figures is not None:
        shelf = load(edits_from_toml(asking.figures))
    else:
        shelf = load() if book is None else book.shelf
    if file is None:
        assert book is not None, "only a recipe of a book is named"
        return Loaded(book.version(asking.recipe).file, book, quotes, shelf)
    return Loaded(file, book, quotes, shelf, given=True)


def _keep(there: Loaded) -> Version | None:
    return there.book.keep(there.file) if there.book is not None and there.given else None


def _say_kept(kept: Version | None, asking: Asking) -> None:
    if kept is not None:
        told([("", ""), ("dim", worded("Kept in {book} as {words}.", book=asking.book, words=kept.words))])


def _priced(file: RecipeFile, quotes: Mapping[str, Quote], typed: Sequence[str]) -> RecipeFile:
    """The file with other prices for this once, in the money and of the year of those it has."""
    now = {one.of: one for one in file.quotes}
    for text in typed:
        found = PRICE.fullmatch(text)
        if found is None or float(found["price"]) <= 0:
            raise RecipeError(
                "--price",
                worded('"{text}" is no price', text=text),
                worded("KEY=NUMBER/UNIT, above 0, the unit kg, lb or t"),
                worded("Such as --price soy_flour_defatted=0.85/lb, with a decimal point"),
            )
        key = found["of"]
        if key not in offered(file):
            listed = ", ".join(offered(file))
            raise RecipeError(
                "--price",
                worded('"{key}" is not on offer', key=key),
                worded("one of {listed}", listed=listed),
                worded("Check the spelling"),
            )
        was = now.get(key) or quotes.get(key) or next(iter(now.values()), None)
        if was is None:
            raise RecipeError(
                "--price", worded("the file has no price to take money and year from"), worded("a [[price]]")
            )
        bag, bag_unit = (was.bag, was.bag_unit) if was.of == key else (None, None)
        per = cast(Any, found["per"])
        now[key] = Quote(key, float(found["price"]), per, was.money, was.year, bag, bag_unit)
    return replace(file, quotes=tuple(now.values()))


def _day(text: str | None) -> date:
    if text is None:
        return date.today()
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise RecipeError(
            "--on", worded('"{text}" is no date', text=text), worded("year-month-day, such as 2026-11-25")
        ) from None


def _paper(text: str | None, file: RecipeFile) -> Paper:
    if text is None:
        return jobs.paper_of(file.country)
    if text not in get_args(Paper):
        raise RecipeError("--paper", worded('"{text}" is not known', text=text), " or ".join(get_args(Paper)))
    return cast(Paper, text)


def _table(found: jobs.Compared) -> Table:
    columns = found.comparison.columns
    table = Table(box=None, pad_edge=False, header_style="bold")
    table.add_column("", overflow="fold")
    for column in columns:
        table.add_column(column.name + (" " + worded("(bought)") if column.bought else ""), overflow="fold")
    for what in LINES:
        head = lines.head_of(what, found.system)
        table.add_row(head, *(lines.said_of(column, what, found.system) for column in columns))
    return table
