"""The feed of a plan from a recipe or a bought feed's label: price, protein, pieces, the belief's shift."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Literal, Protocol

from breadline.errors import PlanError, RecordError
from breadline.jobs.ration import analysed
from breadline.jobs.ration_terms import bought_of
from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.recipe_refusals import refuse_feed
from breadline.jobs.recipe_written import BoughtFeed, Quote, RecipeFile
from breadline.jobs.rounds_move import KnownPlace, place_beside, place_of_book
from breadline.knowledge.ingredient import Content
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say
from breadline.measures import Units
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.money import Amount, told
from breadline.ration.label import read_label
from breadline.ration.plain_words import roughly
from breadline.ration.worth import Shift, label_shift
from breadline.records.address import BookAt

Quotes = Mapping[str, Quote]
VERSION = "version "  # as it is kept with a plan


@dataclass(frozen=True)
class KnownFeed:
    """What follows from a recipe or a label for a feed of a plan."""

    kind: Literal["recipe", "label"]
    name: str
    protein: Content  # crude, as fed; of a label the least that it guarantees [%]
    shift: Shift  # of the belief, by its real pollen
    price: Amount | None = None  # [money/kg]
    years: tuple[int, ...] = ()  # of the prices it is made up of, old to new
    sugar: float | None = None  # that is surely in it [share]
    piece_g: float | None = None  # [g]
    box_kg: float | None = None  # [kg]
    pollen_known: bool = True  # whether anything is said of real pollen
    unpriced: tuple[str, ...] = ()
    file: RecipeFile | None = field(default=None, compare=False)  # to be mixed by
    quotes: Quotes = field(default_factory=dict, compare=False)  # of what it is mixed from
    version: str = ""

    def said(self, units: Units) -> str:
        """As it is told: what it is, what it costs and of which years, and what its analysis may shift."""
        of = {"name": self.name, "protein": roughly(self.protein), "costs": self._costs(units)}
        if self.kind == "recipe" and self.version:
            number = self.version.removeprefix(VERSION)
            first = say(
                "{name}, by your recipe, version {number}: {protein} % protein as fed{costs}.",
                number=number,
                **of,
            )
        elif self.kind == "recipe":
            first = say("{name}, by your recipe: {protein} % protein as fed{costs}.", **of)
        elif self.protein.exact:
            first = say("{name}, by its label: at least {protein} % protein as fed{costs}.", **of)
        else:
            first = say("{name}, by its label: {protein} % protein as fed{costs}.", **of)
        said = [first]
        if self.kind == "recipe":
            said.append(say("It costs what goes into it: your hours in the mixing room are not in the sum."))
        silent = say(
            "Its label does not say whether there is real pollen in it, so it shifts that belief not at all."
        )
        shift = self.shift.of_pollen if self.pollen_known else silent
        return " ".join([*said, shift])

    def _costs(self, units: Units) -> str:
        if self.price is None:
            return ""
        kg = GRAMS_A_POUND / 1000.0 if units == "lb" else 1.0
        ends = sorted({self.years[0], self.years[-1]})
        years = say(" to ").join(map(str, ends))
        money = told(kg * self.price.amount, self.price.money)
        if units == "lb":
            return say(", {money} a pound (prices of {years})", money=money, years=years)
        return say(", {money} a kilogram (prices of {years})", money=money, years=years)


class FeedSource(Protocol):
    """Where recipes and labels that a plan names are looked up."""

    @property
    def shelf(self) -> Shelf:
        """The figures that they are read by."""
        ...

    def recipe(self, name: str) -> tuple[RecipeFile, Quotes, str]:
        """A recipe by its name, prices for it, and which version it is."""
        ...

    def bought(self, name: str, within: str) -> tuple[BoughtFeed, Quote | None, str]:
        """A bought feed by its name, its price and the country it was written down for."""
        ...

    def place(self, name: str, weather: str, today: date) -> KnownPlace:
        """A yard by its name or file, as known on a day."""
        ...


class BookFeeds:
    """The recipes and bought feeds of a book, with its newest prices; and its yards, to move to."""

    def __init__(self, path: BookAt) -> None:
        self._path = path

    @property
    def _book(self) -> RecipeBook:
        return RecipeBook(self._path)

    @property
    def shelf(self) -> Shelf:
        """The figures with the book's edits."""
        return self._book.shelf

    def recipe(self, name: str) -> tuple[RecipeFile, Quotes, str]:
        """The version of a recipe that holds now; RecordError where there is none."""
        if name.endswith(".toml"):
            raise RecordError(
                name,
                say("a file is not read from here"),
                say("a recipe of this book by its name"),
                say("Take it in under Feed first"),
            )
        book = self._book
        there = book.version(name)
        return there.file, book.quotes(), f"{VERSION}{there.number}"

    def bought(self, name: str, within: str = "") -> tuple[BoughtFeed, Quote | None, str]:
        """A bought feed of the book; RecordError where there is none."""
        book = self._book
        feeds = {one.name: one for one in book.feeds()}
        if name not in feeds:
            raise _no_feed(name, tuple(feeds), say("this book"))
        return feeds[name], book.quotes().get(name), ""

    def place(self, name: str, weather: str, today: date) -> KnownPlace:
        """A yard of the book by its name; RecordError where there is none, or a weather file is named."""
        if weather:
            raise RecordError(
                weather,
                say("a file is not read from here"),
                say("the weather that the book keeps"),
                say("Leave the line out"),
            )
        return place_of_book(self._path, name, today)

    def choices(self) -> tuple[tuple[str, str], ...]:
        """What can be chosen on the page: "recipe:NAME" or "label:NAME", and its words."""
        book = self._book
        mixed = [(f"recipe:{name}", say("{name} (recipe)", name=name)) for name in book.names()]
        return (
            *mixed,
            *((f"label:{one.name}", say("{name} (bought)", name=one.name)) for one in book.feeds()),
        )

    def stand(self) -> str:
        """All that an answer may go by, as a text that changes when any of it does."""
        book = self._book
        return f"{[book.text(name) for name in book.names()]}{book.feeds()}{sorted(book.quotes().items())}"


class FilesBeside:
    """Recipe files beside the plan file; recipes by name from a book, where one is named."""

    def __init__(self, folder: Path, book: BookAt | None = None, shelf: Shelf | None = None) -> None:
        self._folder, self._shelf = folder, shelf
        self._book = None if book is None else BookFeeds(book)

    @property
    def shelf(self) -> Shelf:
        """The figures as shipped, else the caller's."""
        return self._shelf or load()

    def recipe(self, name: str) -> tuple[RecipeFile, Quotes, str]:
        """A recipe of a file that ends in .toml, else of the book."""
        if name.endswith(".toml"):
            return read_recipe(self._folder / name), {}, ""
        return self._of_book(name).recipe(name)

    def bought(self, name: str, within: str = "") -> tuple[BoughtFeed, Quote | None, str]:
        """A [[feed]] of the recipe file ``within``, else of the book."""
        if not within:
            return self._of_book(name).bought(name)
        file = read_recipe(self._folder / within)
        feeds = {one.name: one for one in file.feeds}
        if name not in feeds:
            raise _no_feed(name, tuple(feeds), within)
        return feeds[name], {one.of: one for one in file.quotes}.get(name), file.country

    def place(self, name: str, weather: str, today: date) -> KnownPlace:
        """A yard of a file that ends in .toml, else of the book."""
        if name.endswith(".toml"):
            return place_beside(self._folder, name, weather)
        return self._of_book(name).place(name, weather, today)

    def _of_book(self, name: str) -> BookFeeds:
        if self._book is None:
            raise RecordError(
                f'"{name}"',
                say("no book is named to look it up in"),
                say("a recipe file (.toml)"),
                say("Name the book with --book, or the file beside the plan"),
            )
        return self._book


def known_recipe(source: FeedSource, name: str) -> KnownFeed:
    """A feed that is mixed by a recipe.

    Errors
    ------
    RecordError, RecipeError
        If there is none of that name, or it cannot be.
    FeedRefused
        If real pollen in it may not be fed.
    """
    file, quotes, version = source.recipe(name)
    file = replace(file, quotes=tuple(_newest(file, quotes).values()))
    found = analysed(file, quotes, source.shelf)
    analysis, cost = found.told.analysis, found.told.cost
    mixing = file.mixing
    return KnownFeed(
        "recipe", file.name, analysis.protein_as_fed, found.told.worth,
        price=None if cost is None else Amount(cost.feed.high, cost.money, cost.years[0]),
        years=() if cost is None else cost.years,
        sugar=_surely(analysis.amount("sugars")),
        piece_g=None if mixing is None else mixing.patty_g,
        unpriced=() if cost is None else cost.unpriced,
        file=file, quotes=quotes, version=version,
    )  # fmt: skip


def known_label(source: FeedSource, name: str, within: str = "") -> KnownFeed:
    """A feed that is bought, by its label.

    Errors
    ------
    RecordError, RecipeError
        If there is none of that name, or its label cannot be.
    FeedRefused
        If it states real pollen that may not be fed.
    """
    feed, quote, country = source.bought(name, within)
    reader = source.shelf.reader()
    refuse_feed(feed, country, reader)
    read = read_label(bought_of(feed, quote))
    asked = None if quote is None else quote.as_price
    sugars = read.ingredient.content("sugars")
    return KnownFeed(
        "label", feed.name, read.protein_as_fed, label_shift(read, reader),
        None if asked is None else Amount(asked.per_kg, asked.money, asked.year),
        () if asked is None else (asked.year,),
        sugar=None if sugars is None else _surely(sugars),
        box_kg=None if asked is None else asked.bag_kg,
        pollen_known=read.pollen_share is not None,
    )  # fmt: skip


def checked_price(feed: KnownFeed, money: str, where: str) -> Amount:
    """The price that follows, if it can be one for this plan.

    Errors: PlanError where there is none, a part of it is missing, or it is in other money.
    """
    if feed.price is None or feed.unpriced:
        what = (
            say("{feed}: {what} has no price", feed=feed.name, what=", ".join(feed.unpriced))
            if feed.unpriced
            else say("{feed}: it has no price", feed=feed.name)
        )
        raise PlanError(where, what, say("a price, with its year"),
                        say("Enter it under Feed, or write price and per here"))  # fmt: skip
    if feed.price.money != money:
        raise PlanError(
            where,
            say(
                "{name} is priced in {theirs}, this plan in {money}",
                name=feed.name,
                theirs=feed.price.money,
                money=money,
            ),
            say("one money"),
            say("Write price and per here, in the plan's money"),
        )
    return feed.price


def _newest(file: RecipeFile, quotes: Quotes) -> dict[str, Quote]:
    """The latest price of each: the book's where the file's own is not of a later year; in one money."""
    own = {one.of: one for one in file.quotes}
    money = {one.money for one in own.values()}
    for of, quote in quotes.items():
        mine = own.get(of)
        if mine is not None and quote.year >= mine.year and quote.money in money:
            own[of] = quote
    return own


def _surely(sugars: Content) -> float:
    """The least there may be. [share]"""
    return max(0.0, min(1.0, sugars.low / 100.0))


def _no_feed(name: str, known: tuple[str, ...], where: str) -> RecordError:
    listed = ", ".join(f'"{one}"' for one in known) or say("none yet")
    return RecordError(
        f'feed "{name}"', say("it is not in {where}", where=where), say("one of these: {names}", names=listed)
    )
