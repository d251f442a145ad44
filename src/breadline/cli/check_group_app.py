"""``breadline check-group``: what its commands take; the work is imported when asked."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

check_group = typer.Typer(
    name="check-group",
    help="Colonies left unfed on purpose: how many, drawn how, and what it tells.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
Figures = Annotated[Path | None, typer.Option(help="Your edits of figures (TOML).")]


@check_group.command()
def size(
    files: Annotated[
        list[Path] | None, typer.Argument(help="A size file (TOML); or yard files, with --plan and --cost.")
    ] = None,
    plan: Annotated[Path | None, typer.Option(help="The plan file of the yards.")] = None,
    book: Annotated[Path | None, typer.Option(help="A book of records, with --yard.")] = None,
    yard: Annotated[str | None, typer.Option(help="Name of a yard of the book that has a plan.")] = None,
    cost: Annotated[float | None, typer.Option(min=0, help="What feeding costs a colony, all told.")] = None,
    situation: Annotated[
        str | None, typer.Option(help="dearth, poor_spring or pollen, for what is believed of feeding.")
    ] = None,
    unfed: Annotated[
        list[int] | None, typer.Option(min=1, help="A number of unfed colonies to look at; may be repeated.")
    ] = None,
    figures: Figures = None,
    as_json: Json = False,
) -> None:
    """How many colonies to leave unfed: what each number could tell, costs, and what its answer is worth."""
    from breadline.cli import check_group_size as command

    command.size(command.Asking(tuple(files or ()), plan, book, yard, cost, situation, tuple(unfed or ())),
                 figures, as_json)  # fmt: skip
