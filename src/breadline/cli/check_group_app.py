"""``breadline check-group``: what its commands take; the work is imported when asked."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from breadline.cli.book_typed import book_argument, book_option

check_group = typer.Typer(
    name="check-group",
    help="Colonies left unfed on purpose: how many, drawn how, and what it tells.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
TrialPath = Annotated[Path, typer.Argument(help="The file of the trial (JSON).")]
KeptIn = Annotated[Any, book_option("The book that keeps the trial too.")]
Alone = Annotated[
    bool,
    typer.Option(
        "--file-alone", help="Write the file alone, though a book keeps the trial: it will not know."
    ),
]
Figures = Annotated[Path | None, typer.Option(help="Your edits of figures (TOML).")]


@check_group.command()
def size(
    files: Annotated[
        list[Path] | None, typer.Argument(help="A size file (TOML); or yard files, with --plan and --cost.")
    ] = None,
    plan: Annotated[Path | None, typer.Option(help="The plan file of the yards.")] = None,
    book: Annotated[Any, book_option("A book of records, with --yard.")] = None,
    yard: Annotated[
        list[str] | None,
        typer.Option(help="Yard of the book that has a plan; all that have one if not given."),
    ] = None,
    cost: Annotated[float | None, typer.Option(min=0, help="What feeding costs a colony, all told.")] = None,
    situation: Annotated[
        str | None, typer.Option(help="dearth, poor_spring or pollen, for what is believed of feeding.")
    ] = None,
    unfed: Annotated[
        list[int] | None, typer.Option(min=1, help="A number of unfed colonies to look at; may be repeated.")
    ] = None,
    ungraded: Annotated[bool, typer.Option("--ungraded", help="Nobody grades before the draw.")] = False,
    figures: Figures = None,
    as_json: Json = False,
) -> None:
    """How many colonies to leave unfed: what each number could tell, costs, and what its answer is worth."""
    from breadline.cli import check_group_size as command

    asking = command.Asking(
        tuple(files or ()), plan, book, tuple(yard or ()), cost, situation, tuple(unfed or ()), not ungraded
    )
    command.size(asking, figures, as_json)


@check_group.command()
def draw(
    colonies: Annotated[Any, book_argument("A table of hives (CSV), or a book of records", "COLONIES")],
    out: Annotated[Path, typer.Option(help="The file of the trial to write (JSON).")],
    break_even: Annotated[
        float,
        typer.Option(help="Benefit that covers what a fed colony costs more, in the unit of --outcome."),
    ],
    margin: Annotated[
        float, typer.Option(help="A smaller difference than this, either way, would not matter.")
    ],
    grading: Annotated[str, typer.Option(help="Day of grading, 2026-11-20.")],
    rescue_below: Annotated[float, typer.Option(help="Frames of bees below which a check colony is fed.")],
    check: Annotated[
        int | None,
        typer.Option(min=1, help="Colonies left unfed, or yards with --open-feed; half if not given."),
    ] = None,
    fed_each: Annotated[
        int, typer.Option(min=0, help="Fed colonies of each group in a set that are graded; 0: all.")
    ] = 0,
    a_yard: Annotated[
        int, typer.Option(min=0, help="Colonies of a yard that are graded, with --open-feed; 0: all.")
    ] = 0,
    outcome: Annotated[
        str, typer.Option(help="What pays: frames, honey (kg), honey-lb, or grade.")
    ] = "frames",
    grade: Annotated[float | None, typer.Option(help="Frames that make grade, with --outcome grade.")] = None,
    check_arm: Annotated[
        str, typer.Option(help="What the check group gets: same-care, usual, half, or sugar.")
    ] = "same-care",
    feed: Annotated[list[str] | None, typer.Option(help="Name of a fed group; up to three times.")] = None,
    open_feed: Annotated[
        bool, typer.Option("--open-feed", help="Dry feed in the open: whole yards are drawn.")
    ] = False,
    apart: Annotated[
        bool, typer.Option("--apart", help="Yards without a position lie farther apart than bees fly.")
    ] = False,
    unmatched: Annotated[bool, typer.Option("--unmatched", help="Draw whole yards without pairs.")] = False,
    by_queen_line: Annotated[
        bool, typer.Option("--by-queen-line", help="Keep hives of one queen line together in sets.")
    ] = False,
    yard: Annotated[
        list[str] | None, typer.Option(help="Yard of the book or table to draw in; all if not given.")
    ] = None,
    name: Annotated[str, typer.Option(help="What the trial is called.")] = "Check group",
    seed: Annotated[int | None, typer.Option(min=0, help="Seed of the draw; a new one if not given.")] = None,
    book: Annotated[Any, book_option("A book that keeps the draw, where COLONIES is a table.")] = None,
    again: Annotated[
        bool, typer.Option("--again", help="Draw again in place of a draw not yet locked; it is counted.")
    ] = False,
    as_json: Json = False,
) -> None:
    """Draw a check group by lot: sets of like colonies in every yard, or whole yards in pairs."""
    from breadline.cli import check_group as command

    wished = command.Wished(
        name, outcome, grade, check_arm, tuple(feed or ()), break_even, margin, grading, rescue_below, check,
        fed_each, open_feed, apart, not unmatched, by_queen_line, seed, a_yard,
    )  # fmt: skip
    command.draw(command.Source(colonies, tuple(yard or ()), book), wished, out, again, as_json)


@check_group.command()
def lock(
    trial: TrialPath,
    against: Annotated[
        Path | None, typer.Option(help="The trial as it was locked: say what is otherwise, and lock nothing.")
    ] = None,
    book: KeptIn = None,
    file_alone: Alone = False,
    as_json: Json = False,
) -> None:
    """Seal the draw with a time stamp: what is changed afterwards is told as a deviation."""
    from breadline.cli import check_group as command

    if against is None:
        command.lock(trial, command.Beside(book, file_alone), as_json)
    else:
        command.compare(trial, against, as_json)


@check_group.command()
def sheets(
    trial: TrialPath,
    out: Annotated[Path, typer.Option(help="Folder for the files; made if it is not there.")],
    paper: Annotated[str, typer.Option(help="a4 or us-letter.")] = "a4",
    only: Annotated[
        str | None,
        typer.Option(
            help="protocol, tags, feeding, scraping, grading, second or open-ends; all if not given."
        ),
    ] = None,
    ends: Annotated[
        Path | None, typer.Option(help="Table of what became of the colonies (CSV), kept in the trial first.")
    ] = None,
    because: Annotated[str, typer.Option(help="Why, where an end corrects an earlier one of the book.")] = "",
    book: KeptIn = None,
    file_alone: Alone = False,
    as_json: Json = False,
) -> None:
    """Tags, the crew's list, the grader's sheet without groups, scraping, open ends and the protocol."""
    from breadline.cli import check_group as command

    papers = command.Papers(paper, only, ends, because)
    command.sheets(trial, out, papers, command.Beside(book, file_alone), as_json)
