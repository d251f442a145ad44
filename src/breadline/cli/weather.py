"""``breadline weather``: read a file and say what was done to it, or fetch one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

from rich.console import Console

from breadline.cli.printed import say, shown
from breadline.errors import WeatherError
from breadline.language import say as worded
from breadline.need.words import day_and_year
from breadline.weather.counted import counted
from breadline.weather.read import read_weather
from breadline.weather.table import Hourly, Note, WeatherFile


@dataclass(frozen=True)
class Asking:
    """What was typed."""

    file: Path | None
    latitude: float | None
    longitude: float | None
    fetch: Path | None
    accept_terms: bool
    as_json: bool


def run(asking: Asking) -> None:
    """Fetch where asked, then read and report."""
    if asking.fetch is not None:
        _fetch(asking)
        return
    if asking.file is None:
        raise WeatherError(
            "breadline weather",
            worded("needs a file"),
            worded("breadline weather FILE, or --fetch FILE with a place"),
        )
    read = read_weather(asking.file, latitude=asking.latitude, longitude=asking.longitude)
    report(read, asking.as_json)


def report(read: WeatherFile, as_json: bool) -> None:
    """What the file holds, and what was dropped, filled or assumed."""
    table = read.table
    when = table.time if isinstance(table, Hourly) else table.date
    first, last = (t.astype("datetime64[D]").astype(date) for t in (when[0], when[-1]))
    step = "hours" if isinstance(table, Hourly) else "days"
    if as_json:
        shown(
            {
                "shape": "breadline.weather/1",
                "step": step,
                "rows": len(when),
                "first": first.isoformat(),
                "last": last.isoformat(),
                "station": asdict(table.station),
                "notes": [note.plain() for note in read.notes],
            }
        )
        return
    rows = counted(len(when), "hour") if isinstance(table, Hourly) else counted(len(when), "day")
    named = {"name": table.station.source, "first": day_and_year(first), "last": day_and_year(last)}
    say(worded("{name}: {rows}, {first} to {last}.", rows=rows, **named))
    if table.station.licence:
        say(worded(table.station.licence))
    say(*_lines(read.notes))


def _lines(notes: Iterable[Note]) -> Iterable[str]:
    told = [f" {note.kind_words}: {note.text}" for note in notes]
    return told or [" " + worded("Nothing was dropped, filled or assumed.")]


def _fetch(asking: Asking) -> None:
    from breadline.jobs.past_weather import keep_past_weather

    if asking.fetch is None or asking.latitude is None or asking.longitude is None:
        raise WeatherError(
            "breadline weather --fetch",
            worded("needs a place"),
            worded("--latitude and --longitude in degrees"),
        )
    with Console(stderr=True).status(worded("Fetching past years …")):
        found = keep_past_weather(
            asking.latitude, asking.longitude, asking.fetch, date.today(), accept_terms=asking.accept_terms
        )
    report(found, asking.as_json)
    if not asking.as_json:
        say(worded("Written to {path}", path=asking.fetch))
