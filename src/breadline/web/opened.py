"""The book that a page reads: opened afresh for each request, so that nothing shown is stale."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol, cast

from starlette.requests import Request

from breadline.jobs.book import YardLine
from breadline.jobs.foretelling import Record
from breadline.jobs.season import SeasonAnswer
from breadline.knowledge.shelf import Figure, Shelf, load
from breadline.records.address import BookAt


class BookShown(Protocol):
    """What the pages ask of a book."""

    @property
    def operation_name(self) -> str: ...
    def yards(self) -> Sequence[YardLine]: ...
    def season(self, yard_id: str) -> SeasonAnswer: ...
    def record(self) -> Record: ...
    def figures(self, text: str = "") -> Sequence[Figure]: ...
    def edit_figure(self, key: str, low: float, typical: float, high: float, why: str) -> object: ...
    def undo_edit(self, key: str) -> object: ...


OpenBook = Callable[[BookAt], BookShown]


def book_of(request: Request) -> BookShown:
    """The book of this app."""
    opened = cast(OpenBook, request.app.state.open_book)
    return opened(place_of(request))


def place_of(request: Request) -> BookAt:
    """Where the book of this app lies."""
    return cast(BookAt, request.app.state.book_path)


def shelf_of(book: BookShown) -> Shelf:
    """The shelf with the edits of this book."""
    return load({figure.key: figure.edit for figure in book.figures() if figure.edit is not None})
