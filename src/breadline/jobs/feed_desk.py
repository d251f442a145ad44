"""What the pages about feed ask of a book beside its recipes: whose it is, its unit, its own ingredients."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager

from sqlalchemy.orm import Session

from breadline.errors import RecipeError
from breadline.jobs.recipe_book import RecipeBook, Version
from breadline.jobs.recipe_written import OwnIngredient, Quote
from breadline.knowledge.shelf import Shelf
from breadline.measures import measures, units_of
from breadline.ration.measures import System
from breadline.records import yards
from breadline.records.address import BookAt
from breadline.records.engine import looking


class FeedDesk(RecipeBook):
    """One book, as far as it is about feed; opened afresh for each request.

    What a page asks again and again is read once, and anew after the desk has written.
    """

    def __init__(self, path: BookAt) -> None:
        super().__init__(path)
        self._read_shelf: Shelf | None = None
        self._read_anew()

    def _read_anew(self) -> None:
        self._listed: Mapping[str, Version | RecipeError] | None = None
        self._quoted: Mapping[str, Quote] | None = None

    @contextmanager
    def _writing(self) -> Iterator[Session]:
        """A session to write in, after which all is read anew."""
        self._read_anew()
        with super()._writing() as session:
            yield session
        self._read_anew()

    @property
    def shelf(self) -> Shelf:
        """The figures with this book's edits, read once a request."""
        if self._read_shelf is None:
            self._read_shelf = super().shelf
        return self._read_shelf

    @property
    def operation_name(self) -> str:
        """Whose book it is; empty before the first yard."""
        with looking(self._engine) as session:
            owners = yards.operations(session)
            return owners[0].name if owners else ""

    def recipes(self) -> Sequence[Version]:
        """Every recipe on the list as it holds now, by name, but for those that cannot be read any more."""
        return [one for one in self._list().values() if isinstance(one, Version)]

    def unreadable(self) -> Mapping[str, RecipeError]:
        """What is wrong with recipes that were kept before a check of today was there, by name."""
        return {name: one for name, one in self._list().items() if isinstance(one, RecipeError)}

    def quotes(self) -> Mapping[str, Quote]:
        """The newest price of each ingredient and feed, by what it is of."""
        if self._quoted is None:
            self._quoted = super().quotes()
        return self._quoted

    def _list(self) -> Mapping[str, Version | RecipeError]:
        if self._listed is None:
            self._listed = {name: self._version_or_error(name) for name in self.names()}
        return self._listed

    def _version_or_error(self, name: str) -> Version | RecipeError:
        try:
            return self.version(name)
        except RecipeError as error:
            return error

    @property
    def country(self) -> str:
        """The country whose law is told: that of most recipes, else of most yards; empty if none says."""
        said = [kept.file.country for kept in self.recipes() if kept.file.country]
        if not said:
            with looking(self._engine) as session:
                facts = [yards.fact(session, one.id) for one in yards.yards(session)]
            said = [one.country for one in facts if one.country]
        return max(sorted(set(said)), key=said.count, default="")

    @property
    def unit(self) -> System:
        """Pounds or kilograms, as the reader chose, else as most recipes are mixed, else by country."""
        if (chosen := measures().units) is not None:
            return "lb" if chosen == "lb" else "kg"
        mixed = [kept.file.mixing.unit for kept in self.recipes() if kept.file.mixing is not None]
        if not mixed:
            return "lb" if units_of(self.country or None) == "lb" else "kg"
        return "lb" if mixed.count("lb") * 2 > len(mixed) else "kg"

    def own_ingredients(self) -> Sequence[OwnIngredient]:
        """The ingredients that recipes of this book describe by their labels, each once, by name."""
        found = {one.key: one for kept in self.recipes() for one in kept.file.own}
        return sorted(found.values(), key=lambda one: one.name.casefold())
