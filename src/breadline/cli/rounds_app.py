"""``breadline rounds``: what its commands take; the work is done in ``cli.rounds``, imported when asked."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from breadline.cli.book_typed import book_argument, book_option

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
AsOf = Annotated[
    str | None,
    typer.Option("--as-of", help="Answer as of this day, 2026-01-20; the yard file's own if not given."),
]
RecipeBook = Annotated[Any, book_option("A book whose recipes and bought feeds the plan names.", "--book")]
Take = Annotated[
    int | None, typer.Option(min=0, help="Number of the plan in the list; the best if not given.")
]


@rounds.command()
def search(
    yards: Yards, weather: Weather, plan: PlanPath = None, book: RecipeBook = None, figures: Figures = None,
    seed: Seed = None, as_of: AsOf = None,
    yard: Annotated[
        list[str] | None, typer.Option("--yard", help="Of the yards only the one of this name, and in full.")
    ] = None,
    as_json: Json = False,
) -> None:  # fmt: skip
    """Every plan tried in the yard's own seasons: the few worth a look, "do nothing" first."""
    from breadline.cli import rounds as command

    asking = command.Asking(tuple(yards), weather, plan, figures, seed, as_json, book, as_of)
    command.search(asking, tuple(yard or ()))


@rounds.command()
def plan(
    yards: Yards, weather: Weather, plan_file: PlanPath = None, take: Take = None,
    book: Annotated[
        Any, book_option("A book: the plan is kept there, and may name its recipes.")
    ] = None,
    why: Annotated[str, typer.Option(help="Why this plan, where it takes the place of another.")] = "",
    threshold: Annotated[
        float | None, typer.Option(help="Bees with pollen at the entrance from which you stop, in per cent.")
    ] = None,
    figures: Figures = None, seed: Seed = None, as_of: AsOf = None, as_json: Json = False,
) -> None:  # fmt: skip
    """One plan in full: its rounds, who gets what, syrup; kept in a book, and held against what was done."""
    from breadline.cli import rounds as command

    asking = command.Asking(tuple(yards), weather, plan_file, figures, seed, as_json, book, as_of)
    command.plan(asking, command.Choice(take, why, threshold))


@rounds.command()
def sheet(
    out: Annotated[Path, typer.Option(help="Folder for the files; made if it is not there.")],
    yards: Annotated[
        list[Path] | None, typer.Argument(help="Yard files (TOML); with --as-chosen all of the book if none.")
    ] = None,
    weather: Annotated[Path | None, typer.Option(help="A weather file; not wanted with --as-chosen.")] = None,
    plan_file: PlanPath = None, take: Take = None,
    only: Annotated[
        str | None, typer.Option(help="truck, order, batch, labels or calendar; all of them if not given.")
    ] = None,
    paper: Annotated[
        str | None, typer.Option(help="a4 or us-letter; the country's own if not given.")
    ] = None,
    book: RecipeBook = None,
    as_chosen: Annotated[
        bool, typer.Option("--as-chosen", help="The plans that the book keeps, as they were chosen.")
    ] = False,
    as_of: Annotated[
        str | None,
        typer.Option(help="The day they are of; each yard file's own, today where no yard is named."),
    ] = None,
    figures: Figures = None, seed: Seed = None, as_json: Json = False,
) -> None:  # fmt: skip
    """Truck sheets, order list, labels and a calendar file of the plans of all yards."""
    from breadline.cli import rounds as command

    asking = command.Asking(tuple(yards or ()), weather, plan_file, figures, seed, as_json, book, as_of)
    command.sheet(asking, take, out, command.Printed(only, paper, as_chosen))


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
    feed: Annotated[str, typer.Option(help="Which feed of the plan file, where it has several.")] = "",
    book: Annotated[
        Any,
        book_option(
            "A book: its plan says threshold, rounds left and prices; its weather runs the season.", "--book"
        ),
    ] = None,
    as_of: AsOf = None,
    as_json: Json = False,
) -> None:
    """Stop, pause or go on: bees in with pollen, fresh arcs, weather, and what stopping saves."""
    from breadline.cli import rounds as command

    seen = command.Seen(bees_in, with_pollen, minutes, hives, arcs, flying_days, threshold)
    rest = command.Rest(weather, plan_file, rounds_left, piece, book, feed, as_of)
    command.stop(yard, seen, rest, as_json)


@rounds.command()
def visit(
    yard: Annotated[Path, typer.Argument(help="The yard file (TOML).")],
    piece: Annotated[str, typer.Option(help="The piece that was laid on, in patties: 0.5.")],
    left: Annotated[str, typer.Option(help="What is left of it, in per cent.")],
    days: Annotated[str, typer.Option(help="Days since it was laid on.")],
    maggots: Annotated[str, typer.Option(help="none, few or many.")] = "none",
    frames: Annotated[str, typer.Option(help="Frames of bees now.")] = "",
    hard: Annotated[str, typer.Option(help="Whether it is hard or dry: yes or no.")] = "",
    place: Annotated[str, typer.Option(help="above_brood, beside_brood or under_lid.")] = "",
    outside: Annotated[str, typer.Option(help='Mean warmth outside since then, "48 F".')] = "",
    pollen: Annotated[str, typer.Option(help="Natural pollen: none, little or plenty.")] = "",
    rim: Annotated[str, typer.Option(help="Whether bees get all round it: yes or no.")] = "",
    next_days: Annotated[str, typer.Option("--next", help="Days to the next visit, 14 if not given.")] = "",
    patty_lb: Annotated[str, typer.Option(help="The patty that pieces are cut from, lb.")] = "",
    patty_g: Annotated[str, typer.Option(help="The same in grams.")] = "",
    beetles_about: Annotated[str, typer.Option(help="Beetles in the district: yes or no.")] = "",
    as_json: Json = False,
) -> None:
    """What the next visit finds of a colony's piece: the likely reasons, and the piece that follows."""
    from breadline.cli import rounds_stock as command

    typed = {"piece": piece, "left": left, "days": days, "maggots": maggots, "frames": frames, "hard": hard,
             "place": place, "outside": outside, "pollen": pollen, "rim": rim, "next": next_days,
             "patty_lb": patty_lb, "patty_g": patty_g, "beetles_about": beetles_about}  # fmt: skip
    command.visit(yard, typed, as_json)


@rounds.command()
def freezer(
    book: Annotated[Any, book_argument("The book of records")],
    put: Annotated[str, typer.Option(help="Frames of bread that go in.")] = "",
    of: Annotated[str, typer.Option(help="The yard they come from.")] = "",
    elsewhere: Annotated[bool, typer.Option("--elsewhere", help="It is no yard of the book.")] = False,
    disease_free: Annotated[str, typer.Option(help="Whether it was inspected and free: yes or no.")] = "",
    on: Annotated[str, typer.Option(help="Day on which they were taken, today if not given.")] = "",
    take: Annotated[str, typer.Option(help="Frames to take out, the oldest first.")] = "",
    to: Annotated[str, typer.Option(help="The yard they go to.")] = "",
    disease_at: Annotated[str, typer.Option(help="A yard with disease: its frames are set aside.")] = "",
    why: Annotated[str, typer.Option(help="What was found there.")] = "",
    need: Annotated[str, typer.Option(help="What a colony needs, in g a day.")] = "",
    cold: Annotated[str, typer.Option(help='How cold the freezer is, "0 F" or "-18 C".')] = "",
    today: Annotated[str, typer.Option(help="The day it is, where it is not today.")] = "",
    as_json: Json = False,
) -> None:  # fmt: skip
    """Frozen pollen frames of a book: what lies there, what it is worth, what is taken out first."""
    from breadline.cli import rounds_stock as command

    typed = {"frames": put, "yard": of, "disease_free": disease_free, "on": on, "take": take, "to_yard": to,
             "sick_yard": disease_at, "why": why, "need_g": need, "freezer": cold,
             "elsewhere": "yes" if elsewhere else ""}  # fmt: skip
    command.freezer(book, typed, today, as_json)


@rounds.command("dry-feed")
def dry_feed(
    yard: Annotated[Path, typer.Argument(help="The yard file (TOML).")],
    day: Annotated[
        list[str] | None, typer.Option(help='The forecast of a day, from today on: "58F 0in 60% 5mph".')
    ] = None,
    own: Annotated[str, typer.Option(help="Your own colonies in flight range.")] = "",
    around: Annotated[str, typer.Option(help="All colonies in flight range, your own among them.")] = "",
    sheltered: Annotated[str, typer.Option(help="Whether rain can't get at it: yes or no.")] = "",
    book: Annotated[Any, book_option("A book: that it stands there is written down.")] = None,
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Write it down though it feeds a locked check group.")
    ] = False,
    never_stood: Annotated[
        str, typer.Option(help="Why: what the book has of dry feed at this yard is taken back.")
    ] = "",
    as_json: Json = False,
) -> None:
    """Dry feed in the open: on which days, how much, who eats it, and what it does to a check group."""
    from breadline.cli import rounds_stock as command

    if never_stood:
        command.no_dry_feed(yard, book, never_stood, as_json)
        return
    typed = {"own": own, "around": around, "sheltered": sheltered}
    command.dry_feed(yard, typed, day or [], command.Keeping(book, anyway), as_json)
