"""A yard's season: load, ask the season model and the ladder, and say what it rests on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path

import numpy as np

from breadline.errors import YardError
from breadline.jobs.weather_age import not_of_another_age, stale
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.calendars import Calendar, calendar
from breadline.knowledge.countries import law_of
from breadline.knowledge.edits import edits_from_toml
from breadline.knowledge.figure import READ_WORDS
from breadline.knowledge.shelf import Figure, Reader, Shelf, load
from breadline.language import say
from breadline.need.advice import NO_WEATHER, Advice, advise
from breadline.need.fit.ahead import fitted_outlook
from breadline.need.fit.fitting import fit
from breadline.need.fit.last_look import as_last_looked, bread_is_recent
from breadline.need.fit.told import Fit, Fitted, What
from breadline.need.flight import FlightLimits, flight_limits
from breadline.need.forage import on_day
from breadline.need.forecast import DRAWS, count_age, forecast, outlook_ends
from breadline.need.outlook import Outlook
from breadline.need.streams import Streams
from breadline.need.yard import Bloom, DegreeDays, Yard
from breadline.weather.read import read_weather
from breadline.weather.table import Note, SeasonWeather, WeatherFile
from breadline.weather.years import season_weather

SEED = 20260120  # of the ensemble; shown with every answer, so that it can be had again

FAR_DEGREES = 4.0  # of latitude; bloom shifts by days a degree


@dataclass(frozen=True)
class FigureUsed:
    """One figure behind an answer, in words."""

    key: str
    meaning: str
    text: str  # "0.35 (0.11 to 1.1)"
    unit: str
    source: str
    read: str  # "read in the source", "from memory" …
    edited: bool


@dataclass(frozen=True)
class SeasonAnswer:
    """What a person is told about a yard, and everything it rests on."""

    yard: Yard
    outlook: Outlook | None
    no_outlook: str  # why there is none; empty where there is one
    advice: Advice
    figures: tuple[FigureUsed, ...]
    weather_notes: tuple[Note, ...]
    calendar_notes: tuple[str, ...]
    seed: int
    fitted: Fitted | None = None  # where there are inspections after the count
    kept: bool = False  # whether the record of foretelling holds its outlook


@dataclass(frozen=True)
class Asked:
    """How the answer is to be worked out."""

    seed: int = SEED
    draws: int = DRAWS  # a weather path
    years: int = 15  # past years that make the season ahead
    forecast: WeatherFile | None = None  # spliced in front of the past years
    own_error: Mapping[What, float] | None = None  # the model's, by the record of foretelling [log]


def season_answer(
    yard: Yard, weather: WeatherFile, shelf: Shelf | None = None, asked: Asked | None = None
) -> SeasonAnswer:
    """Does this yard need protein, why, and from when is it short.

    Errors
    ------
    WeatherError, YardError, FigureError
        With what to mend. A date for which no outlook is honest is no error: the
        advice then goes by the counts alone and says so.
    """
    count_age(yard)  # an old count says little, with an outlook or without
    asked = asked or Asked()
    shelf = shelf or load()
    reader = shelf.reader()
    streams = Streams.of(np.random.default_rng(asked.seed))
    starter = calendar(yard.place.region) if yard.place.region else None
    yard, told = with_bloom(yard, starter)
    ahead = _season_ahead(yard, weather, reader, streams, asked)
    fitted, outlook = ahead.fitted.told if ahead.fitted else None, ahead.outlook
    told_to, law = as_last_looked(yard, fitted), law_of(yard.place.country)
    advice = advise(told_to, outlook, reader, law, starter, fitted is None or fitted.fits)
    if ahead.why_not:  # there is weather; it is winter that stops the outlook
        would = tuple(text for text in advice.what_would_change if text != say(NO_WEATHER))
        advice = replace(advice, what_would_change=would)
    return SeasonAnswer(
        yard=yard,
        outlook=outlook,
        no_outlook=ahead.why_not,
        advice=advice,
        figures=figures_used(shelf, reader.used),
        weather_notes=(*weather.notes, *stale(yard, weather), *ahead.notes),
        calendar_notes=told,
        seed=asked.seed,
        fitted=fitted,
    )


@dataclass(frozen=True)
class _Ahead:
    """The season ahead, or why there is none."""

    outlook: Outlook | None = None
    fitted: Fit | None = None
    notes: tuple[Note, ...] = ()  # on the weather
    why_not: str = ""


def _season_ahead(yard: Yard, weather: WeatherFile, reader: Reader, streams: Streams, asked: Asked) -> _Ahead:
    """The outlook of a yard, fitted to its inspections where it has some."""
    try:
        ends = outlook_ends(yard.today, yard.place.latitude, reader)
    except YardError as no_outlook:
        bread_is_recent(yard)
        why_not = f"{no_outlook.what[0].upper()}{no_outlook.what[1:]}. {no_outlook.do}".rstrip(".") + "."
        if yard.inspections:
            why_not += say(" Your last inspection stands as it was counted; nothing was fitted to it.")
        return _Ahead(why_not=why_not)
    not_of_another_age(yard, weather)
    ahead = weather_ahead(yard, weather, ends.on, reader, streams.weather, asked)
    if not yard.inspections:
        return _Ahead(forecast(yard, ahead, reader, streams, asked.draws), notes=ahead.notes)
    fitted = fit(yard, ahead, reader, streams, own_error=asked.own_error)
    return _Ahead(fitted_outlook(yard, ahead, reader, fitted, streams, asked.draws), fitted, ahead.notes)


def season_from_files(
    yard_path: Path,
    weather_path: Path,
    edits_path: Path | None = None,
    asked: Asked | None = None,
    forecast_path: Path | None = None,
) -> SeasonAnswer:
    """The same from files, without a database.

    Edits of figures lie in a TOML file; ``figures.toml`` beside the yard file is
    taken where none is named. A forecast is read for the yard's place and day, as
    the past weather is.
    """
    asked = asked or Asked()
    yard = read_yard(yard_path)
    beside = yard_path.parent / "figures.toml"
    edits = edits_path or (beside if beside.exists() else None)
    shelf = load(edits_from_toml(edits) if edits else None)
    read = partial(
        read_weather, latitude=yard.place.latitude, longitude=yard.place.longitude, today=yard.today
    )
    if forecast_path is not None:
        asked = replace(asked, forecast=read(forecast_path))
    return season_answer(yard, read(weather_path), shelf, asked)


def with_bloom(yard: Yard, starter: Calendar | None) -> tuple[Yard, tuple[str, ...]]:
    """The yard with its own bloom, else with the starter calendar of its region, and what to say of it."""
    if yard.bloom:
        return yard, ()
    if starter is None:
        raise YardError(
            "bloom",
            say("no bloom windows and no region"),
            say("[[bloom]] windows, or a region with a starter calendar"),
            say("Name a region under [place]; breadline season --regions lists them"),
        )
    blooms = tuple(
        Bloom(
            name=w.name,
            start=w.start,
            end=w.end,
            strength=w.strength,
            nectar=w.nectar,
            protein_pct=w.protein_pct,
            degree_days=None
            if w.degree_days is None
            else DegreeDays(
                sum_c=w.degree_days.sum_c,
                base_c=w.degree_days.base_c,
                cap_c=w.degree_days.cap_c,
                method=w.degree_days.method,
                start=w.degree_days.start,
            ),
            lasts_days=w.lasts_days,
            source=w.source,
        )
        for w in starter.windows
    )
    said: tuple[str, ...] = (
        say(
            "Bloom is the starter calendar for {name}, a starting point: put in your own dates.",
            name=say(starter.name),
        ),
    )
    if abs(starter.latitude - yard.place.latitude) > FAR_DEGREES:
        said += (say("This yard lies far from {name}: is the region right?", name=say(starter.name)),)
    said += tuple(say("Sources differ: {what}", what=say(differ.what)) for differ in starter.disagrees_with)
    return replace(yard, bloom=blooms), said


def weather_ahead(
    yard: Yard, weather: WeatherFile, until: date, reader: Reader, rng: np.random.Generator, asked: Asked
) -> SeasonWeather:
    """The season's weather paths, from where the earliest degree-day sum begins."""
    first = min([yard.count.on, *_sums_begin(yard)])
    return season_weather(
        weather,
        first,
        (until - first).days + 1,
        latitude=yard.place.latitude,
        limits=limits(reader),
        rng=rng,
        years=asked.years,
        today=yard.today,
        forecast=asked.forecast,
    )


def limits(reader: Reader) -> FlightLimits:
    """The flight limits as the shelf has them."""
    names = FlightLimits.__dataclass_fields__
    return flight_limits({f"flight.{n}": reader.typical(f"flight.{n}") for n in names})


def figures_used(shelf: Shelf, keys: tuple[str, ...]) -> tuple[FigureUsed, ...]:
    """The figures behind an answer, in words."""
    used = []
    for key in keys:
        f = shelf[key]
        used.append(
            FigureUsed(key, f.meaning, span_text(f.span.low, f.span.typical, f.span.high), f.unit,
                       say("you") if f.edited else f.source, _read(f), f.edited)
        )  # fmt: skip
    return tuple(used)


def figures_document(used: Sequence[FigureUsed]) -> list[dict[str, str]]:
    """The figures behind an answer for other programs."""
    return [{"key": f.key, "text": f.text, "unit": f.unit, "source": f.source, "read": f.read} for f in used]


def _read(figure: Figure) -> str:
    if figure.edit:
        return say("edited by you: {why}", why=figure.edit.why)
    return READ_WORDS[figure.read]


def span_text(low: float, typical: float, high: float) -> str:
    """A range as it is written: typical, then low to high."""
    if low == high:
        return _figure(typical)
    return say("{typical} ({low} to {high})", typical=_figure(typical), low=_figure(low), high=_figure(high))


def _figure(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.4g}"


def _sums_begin(yard: Yard) -> list[date]:
    """For each degree-day window the last start of its sum before the count."""
    begins: list[date] = []
    for bloom in yard.bloom:
        if bloom.degree_days is not None:
            this_year: date = on_day(yard.count.on.year, bloom.degree_days.start).astype(date)
            before: date = on_day(yard.count.on.year - 1, bloom.degree_days.start).astype(date)
            begins.append(this_year if this_year <= yard.count.on else before)
    return begins
