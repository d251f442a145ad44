"""The words of ``breadline backup``, ``restore`` and ``verify`` as they are typed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
BOOK = Annotated[str, typer.Argument(help="The book of records: a file, or the address of a database.")]


def backup(
    book: BOOK,
    file: Annotated[
        Path | None, typer.Argument(help="The copy; beside the book with the day in its name if not given.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Copy a book to a new file, while it is in use too, and read the copy back record by record."""
    from breadline.cli import keeping

    keeping.backup(book, file, as_json)


def restore(
    file: Annotated[Path, typer.Argument(help="A copy that breadline backup made.")],
    book: Annotated[str, typer.Argument(help="The book to make; nothing is written over.")],
    as_json: Json = False,
) -> None:
    """Make a book from a copy, and read it back record by record."""
    from breadline.cli import keeping

    keeping.restore(file, book, as_json)


def verify(book: BOOK, as_json: Json = False) -> None:
    """Is a book whole? What is damaged, and what to do; nothing is changed."""
    from breadline.cli import keeping

    raise typer.Exit(keeping.verify(book, as_json))


def export(
    book: BOOK,
    target: Annotated[Path, typer.Argument(help="A new file; for csv a new folder, or a name in .zip.")],
    form: Annotated[str, typer.Option("--as", help="csv, xlsx, json, or geojson for the yards.")] = "csv",
    as_json: Json = False,
) -> None:
    """Take everything out in open forms, corrected and withdrawn entries too; nothing is written over."""
    from breadline.cli import taking_out

    taking_out.run(book, target, form, as_json)
