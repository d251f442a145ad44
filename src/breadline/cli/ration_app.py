"""``breadline ration``: what its commands take; the work is done in ``cli.ration``, imported when asked."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from breadline.cli.book_typed import book_option

ration = typer.Typer(
    name="ration",
    help="What a recipe or a label really contains, the cheapest sound mix, and its batch sheet.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
Book = Annotated[
    Any,
    book_option("A book of records: what is given is kept there, and its recipes can be named."),
]
Figures = Annotated[Path | None, typer.Option(help="Your edits of figures (TOML).")]
Recipe = Annotated[
    str, typer.Argument(help="A recipe file (TOML), or with --book the name of a kept recipe.")
]


@ration.command()
def analyse(recipe: Recipe, book: Book = None, figures: Figures = None, as_json: Json = False) -> None:
    """What a recipe contains: protein on both bases, fats, water, salt, how it keeps, what it costs."""
    from breadline.cli import ration as command

    command.analyse(command.Asking(recipe, book, figures, as_json))


@ration.command()
def solve(
    recipe: Recipe,
    price: Annotated[
        list[str] | None, typer.Option(help="Another price for this once: soy_flour_defatted=0.85/lb.")
    ] = None,
    out: Annotated[Path | None, typer.Option(help="Write the mix as a recipe file.")] = None,
    seconds: Annotated[
        float | None, typer.Option(min=0.1, max=600, help="Longest search where whole bags are counted.")
    ] = None,
    book: Book = None,
    figures: Figures = None,
    as_json: Json = False,
) -> None:
    """The cheapest mix that keeps a recipe's targets, or which of them are at odds."""
    from breadline.cli import ration as command

    command.solve(command.Asking(recipe, book, figures, as_json), price or [], out, seconds)


@ration.command()
def compare(
    recipes: Annotated[list[str], typer.Argument(help="Recipe files; their [[feed]] are set beside them.")],
    order: Annotated[
        list[str] | None, typer.Option(help="Your own order: a name, once for each; by name if not given.")
    ] = None,
    book: Book = None,
    figures: Figures = None,
    as_json: Json = False,
) -> None:
    """Own recipes and bought feeds side by side, by name; no feed is ranked."""
    from breadline.cli import ration as command

    command.compare(recipes, order or [], command.Asking("", book, figures, as_json))


@ration.command()
def batch(
    recipe: Recipe,
    out: Annotated[Path | None, typer.Option(help="Write the batch sheet (PDF, one page).")] = None,
    number: Annotated[
        str | None, typer.Option(help="Batch number; the book's next, or the day, if not given.")
    ] = None,
    on: Annotated[str | None, typer.Option(help="Day of the batch, 2026-11-25; today if not given.")] = None,
    meant_for: Annotated[str, typer.Option("--for", help="Yards and round, for the sheet.")] = "",
    paper: Annotated[
        str | None, typer.Option(help="a4 or us-letter; by the recipe's country if not given.")
    ] = None,
    book: Book = None,
    figures: Figures = None,
    as_json: Json = False,
) -> None:
    """A batch in buckets, bags and weights for the mixing room, and its sheet."""
    from breadline.cli import ration as command

    wanted = command.Sheet(out, number, on, meant_for, paper)
    command.batch(command.Asking(recipe, book, figures, as_json), wanted)


@ration.command()
def batches(
    book: Annotated[Any, book_option("The book of records that batches were kept in.")],
    as_json: Json = False,
) -> None:
    """The batches kept in a book, newest first: the day, the recipe, what went in."""
    from breadline.cli import ration as command

    command.batches(book, as_json)
