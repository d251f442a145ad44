"""``breadline rounds``: what its commands take; the work is done in ``cli.rounds``, imported when asked."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

rounds = typer.Typer(
    name="rounds",
    help="When to start, how much, when to stop, and which plan is worth its money.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
Yards = Annotated[list[Path], typer.Argument(help="Yard files (TOML), one or more of one operation.")]
Weather = Annotated[Path, typer.Option(help="A weather file of past years.")]
PlanPath = Annotated[
    Path | None, typer.Option("--plan", help="The plan file; rounds.toml beside each yard if not given.")
]
Figures = Annotated[Path | None, typer.Option(help="Your edits of figures (TOML).")]
Seed = Annotated[int | None, typer.Option(min=0, help="Seed of the search, 0 or more.")]
Take = Annotated[
    int | None, typer.Option(min=0, help="Number of the plan in the list; the best if not given.")
]


@rounds.command()
def search(
    yards: Yards, weather: Weather, plan: PlanPath = None, figures: Figures = None, seed: Seed = None,
    as_json: Json = False,
) -> None:  # fmt: skip
    """Every plan tried in the yard's own seasons: the few worth a look, "do nothing" first."""
    from breadline.cli import rounds as command

    command.search(command.Asking(tuple(yards), weather, plan, figures, seed, as_json))
