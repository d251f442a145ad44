"""``breadline season``: the answer for one yard, printed sentence first."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rich.console import Console

from breadline.cli.printed import first_season, say, shown, told
from breadline.errors import RecordError, YardError
from breadline.language import noted
from breadline.language import say as worded
from breadline.records.address import BookAt
from breadline.records.engine import is_there

NOTHING_KEPT = noted(
    "Nothing is kept of this outlook, since it came from files. In a book of records it would be held "
    "against your next count: breadline yards BOOK --add YARD.toml --weather FILE."
)


@dataclass(frozen=True)
class Asking:
    """What was typed."""

    yard: Path | None
    weather: Path | None
    forecast: Path | None
    figures: Path | None
    chart: Path | None
    seed: int | None
    as_json: bool
    record: BookAt | None = None


def record(asking: Asking) -> None:
    """Print how often later counts fell inside the bands that a book's outlooks had shown."""
    if asking.yard is not None or asking.weather is not None:
        raise YardError(
            "breadline season --record",
            worded("takes a book of records alone: nothing is kept of outlooks from files"),
            worded("breadline season --record BOOK"),
            worded("Put the yard into a book with: breadline yards BOOK --add YARD.toml --weather FILE"),
        )
    if asking.record is None or not is_there(asking.record):
        raise RecordError(
            str(asking.record),
            worded("there is no such book"),
            worded("a book of records"),
            worded("breadline yards BOOK --add …"),
        )
    from breadline.jobs.book import Book
    from breadline.jobs.foretelling_told import record_document, record_lines

    found = Book(asking.record).record()
    if asking.as_json:
        shown(record_document(found))
        return
    told(record_lines(found))


def answer(asking: Asking) -> None:
    """Work out and print the answer; write the chart where one is asked for."""
    if asking.yard is None or asking.weather is None:
        raise YardError(
            "breadline season",
            worded("needs a yard file and a weather file"),
            worded("breadline season YARD.toml --weather WEATHER.csv"),
            worded("Try examples/first-yard/yard.toml with examples/first-yard/weather.csv"),
        )
    console = Console(stderr=True)
    with console.status(worded("Reading the weather and running the season {why} …", why=first_season())):
        from breadline.jobs.season import SEED, Asked, season_from_files
        from breadline.jobs.season_told import season_document, season_lines

        asked = Asked(seed=SEED if asking.seed is None else asking.seed)
        answered = season_from_files(asking.yard, asking.weather, asking.figures, asked, asking.forecast)
        if asking.chart is not None:
            from breadline.jobs.season_chart import write_chart

            write_chart(answered, asking.chart)
    if asking.as_json:
        shown(season_document(answered))
        return
    told(season_lines(answered))
    if answered.outlook is not None:
        told([("dim", worded(NOTHING_KEPT))])
    if asking.chart is not None:
        say(worded("Chart written to {chart}", chart=asking.chart))


def list_regions(as_json: bool) -> None:
    """The starter calendars."""
    from breadline.knowledge.calendars import regions

    rows = regions()
    if as_json:
        shown({"shape": "breadline.regions/1", "regions": [list(row) for row in rows]})
        return
    say(*(f"{key}  {worded(name)}  {country}" for key, name, country in rows))
