"""The words of ``breadline verdict`` as they are typed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, cast

import typer

from breadline.cli.book_typed import book_option

COST = Annotated[
    float | None,
    typer.Option(
        help="What feeding one colony cost: feed, work and trips; where the check group got half the rate, a "
        "sugar patty or usual practice, only what feeding cost more than that."
    ),
]
PRICE = Annotated[float | None, typer.Option(help="What one more frame (or lb, kg) is worth to you.")]
MONEY = Annotated[str, typer.Option(help="$, €, or a code such as CHF.")]
YEAR = Annotated[
    int | None, typer.Option(help="The year of cost and price; if not given this one, and that is said.")
]
BREAK_EVEN = Annotated[
    float | None, typer.Option("--break-even", help="Instead of cost and price: the difference that pays.")
]
MARGIN = Annotated[
    float | None, typer.Option(help="Smallest difference that matters; the break-even if not given.")
]
DRAWN = Annotated[str, typer.Option(help="How it was decided which were fed: lot, hand or unknown.")]
CHECK_GOT = Annotated[
    str, typer.Option("--check-got", help="What check colonies got: same, usual, half or sugar.")
]
ONE_ROW = Annotated[
    bool | None,
    typer.Option("--one-row/--alternating", help="Whether the groups stand in one row without alternating."),
]
DIFFERENTLY = Annotated[str, typer.Option(help="What else was done to one group only.")]
DECIMAL = Annotated[str, typer.Option(help="point or comma, as the numbers in the file have it.")]
CHECK = Annotated[str, typer.Option(help="What the check group is called in the file.")]
PRIMARY = Annotated[str, typer.Option(help="Which fed group is compared, where there are several.")]
GRADE = Annotated[
    float | None, typer.Option(help="Frames that make grade, where the share of colonies making it pays.")
]
AS_OF = Annotated[str | None, typer.Option("--as-of", help="Answer as of this day; today if not given.")]
DRAWS = Annotated[
    int | None,
    typer.Option(
        min=99,
        help="How often lots are drawn again, where all ways are too many; 99,999 if not given, 9,999 "
        "with more than 1,500 colonies.",
    ),
]
UNIT = Annotated[str, typer.Option(help="frames, or lb or kg of honey.")]

SITUATION = Annotated[
    str | None, typer.Option(help="What the place gave while fed: dearth, poor_spring or pollen.")
]
SEASON = Annotated[str, typer.Option(help="The season as you say it, such as “autumn 2026”.")]
BOOK = Annotated[
    Any, book_option("A book of records: its earlier seasons count, and what it knows of a drawn trial.")
]
TRAVEL = Annotated[Path | None, typer.Option(help="Write the trial's open file, to send or to learn from.")]
OWN_PRICES = Annotated[bool, typer.Option("--own-prices", help="Let cost and price go along in it.")]
OWN_NAMES = Annotated[
    bool, typer.Option("--own-names", help="Let hives, yards and graders keep their names in it.")
]

FED = Annotated[
    list[str] | None,
    typer.Option(
        help="Day and amount put on a fed colony, “2026-10-01 450 g”; may be repeated. For --travel."
    ),
]
PROTEIN = Annotated[str, typer.Option("--protein-pct", help="Protein of the feed, in 100. For --travel.")]
POLLEN = Annotated[
    str, typer.Option("--real-pollen-pct", help="Real pollen in the feed, in 100. For --travel.")
]


def verdict(
    file: Annotated[Path, typer.Argument(help="A spreadsheet, one row a colony; or the file of a trial.")],
    ends: Annotated[Path | None, typer.Option(help="Gradings of a drawn trial (CSV).")] = None,
    cost: COST = None,
    price: PRICE = None,
    money: MONEY = "$",
    year: YEAR = None,
    break_even: BREAK_EVEN = None,
    margin: MARGIN = None,
    drawn: DRAWN = "unknown",
    check_got: CHECK_GOT = "same",
    one_row: ONE_ROW = None,
    open_feed: Annotated[bool, typer.Option("--open-feed", help="The feed lay in the open.")] = False,
    weakest_unfed: Annotated[
        bool, typer.Option("--weakest-unfed", help="The unfed were picked as the weakest.")
    ] = False,
    differently: DIFFERENTLY = "",
    decimal: DECIMAL = "point",
    check: CHECK = "",
    primary: PRIMARY = "",
    unit: UNIT = "frames",
    grade: GRADE = None,
    as_of: AS_OF = None,
    seed: Annotated[int | None, typer.Option(min=0, help="Seed of the draws, 0 or more.")] = None,
    draws: DRAWS = None,
    chart: Annotated[Path | None, typer.Option(help="Write the picture of all colonies as SVG.")] = None,
    sheet: Annotated[Path | None, typer.Option(help="Write the page as PDF.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or us-letter, with --sheet.")] = "us-letter",
    situation: SITUATION = None,
    season: SEASON = "",
    book: BOOK = None,
    travel: TRAVEL = None,
    own_names: OWN_NAMES = False,
    own_prices: OWN_PRICES = False,
    fed: FED = None,
    protein_pct: PROTEIN = "",
    real_pollen_pct: POLLEN = "",
    as_json: Annotated[
        bool, typer.Option("--json", help="Print one JSON document and nothing else.")
    ] = False,
) -> None:
    """Did feeding pay? From what became of fed and unfed colonies, in one command."""
    from breadline.belief.gain import SITUATIONS, Situation
    from breadline.cli import verdict as command
    from breadline.jobs import verdict as job
    from breadline.jobs.trial_feed import feed_of
    from breadline.jobs.verdict_numbers import Decimal
    from breadline.jobs.verdict_onward import Onward
    from breadline.jobs.verdict_rows import SheetAsked
    from breadline.trial.design import CheckArm

    today = command.day_of(as_of)
    got = {"same": CheckArm.SAME_CARE, "usual": CheckArm.USUAL, "half": CheckArm.HALF,
           "sugar": CheckArm.SUGAR}  # fmt: skip
    said = job.Told(
        cast(job.Drawn, command.one_of("--drawn", drawn, tuple(job.ALLOCATION))), one_row, open_feed,
        weakest_unfed, differently, got[command.one_of("--check-got", check_got, tuple(got))],
    )  # fmt: skip
    asked = job.VerdictAsked(
        job.Prices(cost, price, break_even, margin, money, year or today.year, year is not None),
        said,
        SheetAsked(cast(Decimal, command.one_of("--decimal", decimal, ("point", "comma"))), check, primary),
        command.one_of("--unit", unit, tuple(job.MEASURES)),
        grade,
        job.SEED if seed is None else seed,
        draws,
    )
    noted = None if situation is None else command.one_of("--situation", situation, SITUATIONS)
    feed = feed_of(protein_pct, real_pollen_pct, fed or [])
    onward = Onward(cast("Situation | None", noted), season, book, travel, own_names, own_prices, feed)
    command.run(command.Files(file, chart, sheet, paper, ends, onward), asked, today, as_json)
