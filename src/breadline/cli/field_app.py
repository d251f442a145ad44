"""``breadline tally`` and ``breadline tags``: what they take; the work is done in ``cli.field_paper``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from breadline.cli.book_typed import book_argument

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
Yard = Annotated[str, typer.Argument(help="The yard, by its name.")]
Out = Annotated[Path, typer.Option("--out", "-o", help="The PDF to write.")]


def tally(
    book: Annotated[Any, book_argument("The book of records")],
    yard: Yard,
    out: Out,
    work: Annotated[str, typer.Option(help="round, look or grading.")] = "round",
    paper: Annotated[str, typer.Option(help="a5, letter, or a4 for two A5 sheets on a page.")] = "a5",
    as_json: Json = False,
) -> None:
    """Tally sheets: the hives of a yard in walking order, with boxes for a pencil in gloves."""
    from breadline.cli import field_paper

    field_paper.tally(book, yard, out, field_paper.Sheet(work, paper), as_json)


def tags(
    book: Annotated[Any, book_argument("The book of records")],
    yard: Yard,
    out: Out,
    labels: Annotated[
        str, typer.Option(help="The label sheet: letter_30, letter_10, letter_6, a4_21 or a4_8.")
    ] = "a4_21",
    first: Annotated[int, typer.Option(min=1, help="The first free label of a sheet in use.")] = 1,
    cut_lines: Annotated[
        bool, typer.Option("--cut-lines", help="Lines to cut along, on plain paper.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Tags for the hives of a yard, each with a code that a phone reads off a photo."""
    from breadline.cli import field_paper

    field_paper.tags(book, yard, out, field_paper.Labels(labels, first, cut_lines), as_json)
