"""A book as it is typed on the command line: a file, or the address of a database."""

from __future__ import annotations

from typing import Any

import typer

from breadline.language import say as worded

WHERE = "a file, or the address of a PostgreSQL database"


def book_argument(text: str, named: str = "BOOK") -> Any:
    """An argument that names a book; ``text`` says what for."""
    return typer.Argument(parser=_typed, metavar=named, help=f"{text}: {WHERE}.")


def book_option(text: str, *names: str) -> Any:
    """An option that names a book; ``text`` says what for."""
    return typer.Option(*names, parser=_typed, metavar="BOOK", help=text)


def one_book(book: Any, named: Any, command: str) -> Any:
    """The book that was named, by its place or by ``--book``.

    Errors
    ------
    RecordError
        If none was, or two different ones.
    """
    from breadline.errors import RecordError

    if book is None and named is None:
        raise RecordError(
            "BOOK",
            worded("no book is named"),
            worded("{command} BOOK, or --book BOOK", command=command),
            worded("Name one"),
        )
    if book is not None and named is not None and book != named:
        raise RecordError(
            "--book",
            worded("two books are named: {book} and {named}", book=book, named=named),
            worded("one"),
            worded("Leave one out"),
        )
    return named if book is None else book


def refuse_missing(book: Any, begins: str = "breadline serve BOOK --new") -> None:
    """Refuse a book that is not there: a mistyped name begins none. ``begins`` is the command that does.

    Errors
    ------
    RecordError
        If it is not there.
    """
    from breadline.errors import RecordError
    from breadline.records.engine import is_there

    if not is_there(book):
        raise RecordError(
            str(book), worded("there is no such book"), worded("a book of records"),
            worded("Check the path; {command} begins one", command=begins),
        )  # fmt: skip


def _typed(text: Any) -> Any:
    from breadline.records.address import book_at  # here, so that --help is quick

    return book_at(text)
