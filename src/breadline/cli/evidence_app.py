"""The words of ``breadline evidence`` as they are typed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from breadline.cli.book_typed import book_option


def evidence(
    trials: Annotated[
        list[Path] | None, typer.Argument(help="Trial files (JSON): yours and cooperators', put together.")
    ] = None,
    book: Annotated[
        Any, book_option("A book of records: what its own check groups taught.")
    ] = None,
    learn: Annotated[
        bool, typer.Option("--learn", help="Your own trials: keep in the book what they teach.")
    ] = False,
    situation: Annotated[
        str | None,
        typer.Option(help="dearth, poor_spring or pollen, where a trial file does not say it."),
    ] = None,
    unlearn: Annotated[
        str | None, typer.Option(help="Name of a trial that teaches nothing after all, with --why.")
    ] = None,
    why: Annotated[str, typer.Option(help="Why it is taken back, or put in another's place.")] = "",
    chart: Annotated[
        Path | None, typer.Option(help="Write the picture of all trials as SVG.")
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print one JSON document and nothing else.")
    ] = False,
) -> None:  # fmt: skip
    """What published trials, cooperators' trials and your own check groups say of feeding."""
    from breadline.cli import evidence as command

    command.run(command.Asking(tuple(trials or ()), book, learn, situation, unlearn, why, chart, as_json))
