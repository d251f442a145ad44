"""A book as it is typed on the command line: a file, or the address of a database."""

from __future__ import annotations

from typing import Any

import typer

WHERE = "a file, or the address of a PostgreSQL database"


def book_argument(text: str, named: str = "BOOK") -> Any:
    """An argument that names a book; ``text`` says what for."""
    return typer.Argument(parser=_typed, metavar=named, help=f"{text}: {WHERE}.")


def book_option(text: str, *names: str) -> Any:
    """An option that names a book; ``text`` says what for."""
    return typer.Option(*names, parser=_typed, metavar="BOOK", help=text)


def _typed(text: Any) -> Any:
    from breadline.records.address import book_at  # here, so that --help is quick

    return book_at(text)
