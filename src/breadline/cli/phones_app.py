"""The words of ``breadline phones``, ``certificate`` and ``field`` as they are typed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from breadline.cli.book_typed import book_argument

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]


def phones(
    book: Annotated[Any, book_argument("The book of records")],
    pair: Annotated[str | None, typer.Option(help="Offer a code to the phone of this name.")] = None,
    revoke: Annotated[str | None, typer.Option(help="Let the phone of this name in no longer.")] = None,
    as_json: Json = False,
) -> None:
    """The phones that may send to a book over the network of the house."""
    from breadline.cli import phones as command

    command.run(book, pair, revoke, as_json)


def certificate(
    folder: Annotated[Path, typer.Argument(help="A folder of your own for the certificate and its keys.")],
    names: Annotated[
        list[str], typer.Option("--for", help="Name or address by which phones reach this machine.")
    ],
    anew: Annotated[
        bool, typer.Option("--anew", help="Put a new authority in the place of one that lies there.")
    ] = False,
    as_json: Json = False,
) -> None:
    """A certificate that your phones can trust, so that the phone pages work without signal."""
    from breadline.cli import phones as command

    command.certificate(folder, names, anew, as_json)


def take(
    book: Annotated[Any, book_argument("The book of records")],
    file: Annotated[Path, typer.Argument(help="A file that a phone saved.")],
    as_json: Json = False,
) -> None:
    """Take in what a phone saved as a file; the same records again add nothing."""
    from breadline.cli import phones as command

    raise typer.Exit(command.take(book, file, as_json))
