"""Recipes, bought feeds, prices and batches of a book of records, kept and read back."""

from __future__ import annotations

import weakref
from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, fields
from datetime import date
from functools import lru_cache
from typing import Any

from sqlalchemy.orm import Session

from breadline.errors import RecipeError
from breadline.jobs.ration import Batched
from breadline.jobs.recipe_file import recipe_from_text, recipe_to_toml
from breadline.jobs.recipe_written import BoughtFeed, Quote, RecipeFile
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.records import figure_edits, recipes
from breadline.records.address import BookAt
from breadline.records.engine import looking, open_book, shut_book, writing
from breadline.records.recipes import Made, Quoted
from breadline.records.tables import BatchRow, RecipeRow


@dataclass(frozen=True)
class Version:
    """A version of a recipe: what its file says, which one it is, and of which day."""

    file: RecipeFile
    number: int
    on: date
    because: str = ""

    @property
    def words(self) -> str:
        """As it stands on a batch sheet."""
        return say("version {number}, {day}", number=self.number, day=day_and_year(self.on))


@dataclass(frozen=True)
class OffTheList:
    """A recipe that was taken off the list, and when."""

    name: str
    on: date


@dataclass(frozen=True)
class BatchKept:
    """A batch of the book."""

    number: str
    on: date
    recipe: str
    loads: int
    measured: tuple[tuple[str, float], ...]  # key, grams of one load [g]
    pieces: int
    piece_g: float  # [g]
    note: str


class RecipeBook:
    """One book, as far as it is about feed."""

    def __init__(self, path: BookAt) -> None:
        self._engine = open_book(path)
        weakref.finalize(self, shut_book, self._engine)

    @property
    def shelf(self) -> Shelf:
        """The figures, with this book's edits."""
        with looking(self._engine) as session:
            return load(figure_edits.current_edits(session))

    def _writing(self) -> AbstractContextManager[Session]:
        """A session to write in."""
        return writing(self._engine)

    def keep(self, file: RecipeFile, because: str = "", *, theirs: bool = False) -> Version:
        """A recipe with the prices and the bought feeds of its file; the version that now holds.

        The same recipe again makes no new version. A price or label that the version before had too is
        no news, so one that was changed elsewhere since stays; of somebody else's file (``theirs``) those
        are taken over that the book has none of.
        """
        before = self._before(file.name)
        feeds = [one for one in file.feeds if one not in before.feeds]
        quotes = [one for one in file.quotes if one not in before.quotes]
        if theirs:
            known, priced = {one.name for one in self.feeds()}, self.quotes()
            feeds = [one for one in feeds if one.name not in known]
            quotes = [one for one in quotes if one.of not in priced]
        with self._writing() as session:
            recipes.keep_recipe(session, file.name, recipe_to_toml(file), because)
            for feed in feeds:
                recipes.keep_feed(session, feed.name, _label(feed))
            for quote in quotes:
                recipes.keep_price(session, _quoted(quote))
        return self.version(file.name)

    def _before(self, name: str) -> RecipeFile:
        """What holds of a recipe; nothing where there is none, or none that can still be read."""
        try:
            return self.version(name).file if name in self.names() else RecipeFile(name)
        except RecipeError:
            return RecipeFile(name)

    def names(self) -> tuple[str, ...]:
        """The recipes on the list, by name."""
        with looking(self._engine) as session:
            return tuple(row.name for row in recipes.recipes(session))

    def version(self, name: str) -> Version:
        """The version of a recipe that holds now.

        Errors
        ------
        RecordError
            If there is none of that name on the list; lists those that are there.
        """
        with looking(self._engine) as session:
            held = recipes.recipe(session, name)
            return _version(held, len(recipes.versions(session, name)))

    def versions(self, name: str) -> Sequence[Version]:
        """Every version of a recipe, oldest first, whether it is still on the list or not."""
        with looking(self._engine) as session:
            return [_version(row, n) for n, row in enumerate(recipes.versions(session, name), 1)]

    def versions_or_errors(self, name: str) -> Sequence[Version | RecipeError]:
        """The same, with what is wrong in place of one that a check of today no longer lets through."""
        with looking(self._engine) as session:
            rows = recipes.versions(session, name)
        return [_version_or_error(row, n) for n, row in enumerate(rows, 1)]

    def text(self, name: str) -> str:
        """A recipe as the text of a file, to be sent."""
        with looking(self._engine) as session:
            return recipes.recipe(session, name).text

    def withdraw(self, name: str, because: str = "") -> None:
        """Take a recipe off the list; its versions and batches stay in the book."""
        with self._writing() as session:
            recipes.withdraw_recipe(session, name, because)

    def off_the_list(self) -> Sequence[OffTheList]:
        """The recipes that were taken off the list and not put back, by name."""
        with looking(self._engine) as session:
            return [OffTheList(row.name, row.made_at.date()) for row in recipes.off_the_list(session)]

    def feeds(self) -> Sequence[BoughtFeed]:
        """The bought feeds, by name."""
        with looking(self._engine) as session:
            return [_feed(row.name, row.label) for row in recipes.feeds(session)]

    def keep_feed(self, feed: BoughtFeed, quote: Quote | None = None) -> None:
        """A bought feed by its label, with its price where there is one."""
        with self._writing() as session:
            recipes.keep_feed(session, feed.name, _label(feed))
            if quote is not None:
                recipes.keep_price(session, _quoted(quote))

    def quotes(self) -> Mapping[str, Quote]:
        """The newest price of each ingredient and feed, by what it is of."""
        with looking(self._engine) as session:
            newest = recipes.newest_prices(session)
            return {
                of: Quote(**{one.name: getattr(row, one.name) for one in fields(Quote)})
                for of, row in newest.items()
            }

    def batches_of(self, name: str) -> Sequence[tuple[int, BatchKept]]:
        """The batches of a recipe with the number of the version each was made by, newest first."""
        with looking(self._engine) as session:
            number = {row.id: n for n, row in enumerate(recipes.versions(session, name), 1)}
            rows = [row for row in recipes.batches(session) if row.recipe_id in number]
            return [(number[row.recipe_id], _batch(row, name)) for row in reversed(rows)]

    def next_number(self, on: date) -> str:
        """The next free batch number of the year."""
        with looking(self._engine) as session:
            return recipes.next_number(session, on)

    def keep_batch(self, told: Batched, note: str = "") -> None:
        """A batch by its number, with the version of its recipe, which is kept too.

        Errors
        ------
        RecordError
            If the number is on another batch.
        """
        self.keep(told.file)
        batch = told.batch
        measured = tuple((line.ingredient.key, line.grams) for line in batch.lines)
        made = Made(told.number, told.on, batch.loads, measured, batch.mixing.piece_g, batch.pieces, note)
        with self._writing() as session:
            recipes.keep_batch(session, recipes.recipe(session, told.file.name).id, made)

    def batches(self) -> Sequence[BatchKept]:
        """The batches, oldest first."""
        with looking(self._engine) as session:
            rows = recipes.batches(session)
            return [_batch(row, recipes.name_of(session, row.recipe_id)) for row in rows]


@lru_cache(maxsize=512)
def _parsed(text: str, name: str) -> RecipeFile:
    """A kept text read once: pages ask for it again and again, and it never changes."""
    return recipe_from_text(text, name)


def _version(row: RecipeRow, number: int) -> Version:
    return Version(_parsed(row.text, row.name), number, row.made_at.date(), row.because)


def _version_or_error(row: RecipeRow, number: int) -> Version | RecipeError:
    try:
        return _version(row, number)
    except RecipeError as error:
        return error


def _batch(row: BatchRow, recipe: str) -> BatchKept:
    measured = tuple((str(key), float(grams)) for key, grams in row.measured)
    return BatchKept(row.number, row.on, recipe, row.loads, measured, row.pieces, row.piece_g, row.note)


def _label(feed: BoughtFeed) -> dict[str, Any]:
    """What the label states, by the keys of a recipe file."""
    told = {one.name: getattr(feed, one.name) for one in fields(feed) if one.name != "name"}
    return {
        key: list(value) if isinstance(value, tuple) else value
        for key, value in told.items() if value is not None and value not in ("", ())
    }  # fmt: skip


def _feed(name: str, label: Mapping[str, Any]) -> BoughtFeed:
    known = {one.name for one in fields(BoughtFeed)} - {"name", "ingredients"}
    told = {key: value for key, value in label.items() if key in known}
    return BoughtFeed(name, **told, ingredients=tuple(label.get("ingredients", ())))


def _quoted(quote: Quote) -> Quoted:
    return Quoted(**{one.name: getattr(quote, one.name) for one in fields(Quote)})
