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
RecipeBook = Annotated[
    Path | None, typer.Option("--book", help="A book whose recipes and bought feeds the plan names.")
]
Take = Annotated[
    int | None, typer.Option(min=0, help="Number of the plan in the list; the best if not given.")
]


@rounds.command()
def search(
    yards: Yards, weather: Weather, plan: PlanPath = None, book: RecipeBook = None, figures: Figures = None,
    seed: Seed = None, as_json: Json = False,
) -> None:  # fmt: skip
    """Every plan tried in the yard's own seasons: the few worth a look, "do nothing" first."""
    from breadline.cli import rounds as command

    command.search(command.Asking(tuple(yards), weather, plan, figures, seed, as_json, book))


@rounds.command()
def plan(
    yards: Yards, weather: Weather, plan_file: PlanPath = None, take: Take = None,
    book: Annotated[
        Path | None, typer.Option(help="A book: the plan is kept there, and may name its recipes.")
    ] = None,
    why: Annotated[str, typer.Option(help="Why this plan, where it takes the place of another.")] = "",
    figures: Figures = None, seed: Seed = None, as_json: Json = False,
) -> None:  # fmt: skip
    """One plan in full: its rounds, who gets what, syrup; kept in a book, and held against what was done."""
    from breadline.cli import rounds as command

    asking = command.Asking(tuple(yards), weather, plan_file, figures, seed, as_json, book)
    command.plan(asking, take, why)


@rounds.command()
def sheet(
    yards: Yards, weather: Weather,
    out: Annotated[Path, typer.Option(help="Folder for the files; made if it is not there.")],
    plan_file: PlanPath = None, take: Take = None,
    only: Annotated[
        str | None, typer.Option(help="truck, order, labels or calendar; all of them if not given.")
    ] = None,
    book: RecipeBook = None,
    figures: Figures = None, seed: Seed = None, as_json: Json = False,
) -> None:  # fmt: skip
    """Truck sheets, order list, labels and a calendar file of the plans of all yards."""
    from breadline.cli import rounds as command

    asking = command.Asking(tuple(yards), weather, plan_file, figures, seed, as_json, book)
    command.sheet(asking, take, out, only)


@rounds.command()
def stop(
    yard: Annotated[Path, typer.Argument(help="The yard file (TOML).")],
    bees_in: Annotated[int | None, typer.Option(min=1, help="Bees that came in while you counted.")] = None,
    with_pollen: Annotated[int | None, typer.Option(min=0, help="Of them with pollen.")] = None,
    minutes: Annotated[float | None, typer.Option(help="Minutes counted in all.")] = None,
    hives: Annotated[int, typer.Option(min=1, help="Hives counted at.")] = 1,
    arcs: Annotated[str | None, typer.Option(help="Hives with a fresh arc of those looked in: 5/6.")] = None,
    flying_days: Annotated[int | None, typer.Option(help="Flying days among the next seven.")] = None,
    threshold: Annotated[float | None, typer.Option(help="Your own threshold, in per cent.")] = None,
    weather: Annotated[
        Path | None, typer.Option(help="A weather file: the season model is run again on the count.")
    ] = None,
    plan_file: PlanPath = None,
    rounds_left: Annotated[int, typer.Option(min=0, help="Rounds still in the plan.")] = 0,
    piece: Annotated[float, typer.Option(min=0.25, max=6, help="Piece of a colony, in patties.")] = 1.0,
    as_json: Json = False,
) -> None:
    """Stop, pause or go on: bees in with pollen, fresh arcs, weather, and what stopping saves."""
    from breadline.cli import rounds as command

    seen = command.Seen(bees_in, with_pollen, minutes, hives, arcs, flying_days, threshold)
    command.stop(yard, seen, command.Rest(weather, plan_file, rounds_left, piece), as_json)
