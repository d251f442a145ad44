"""Dry feed in the open: on which days, how much at a time, who eats it, and what it does to a check group."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np

from breadline.errors import YardError
from breadline.jobs.first_here import first_here
from breadline.jobs.season import FigureUsed, figures_document, figures_used
from breadline.jobs.typed_fields import Typed
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say
from breadline.measures import Units, units_of
from breadline.need.words import day_and_year
from breadline.need.yard import Place, Yard
from breadline.plan.dry_feed import DryFeedPlan, NoCheckGroup, OutDay, Station, Weather, dry_feed_plan
from breadline.records.stocks import Stood

SHAPE = "breadline.dry_feed/1"
TAKEN_BACK = "breadline.no_dry_feed/1"
SEED = 20260325  # of the amounts
DAYS = 7  # that a forecast is typed for [d]
MEASURES = ("high", "rain", "humidity", "wind")
IN_USE = {"lb": ("°F", "in", "%", "mph"), "g": ("°C", "mm", "%", "km/h")}
Line = tuple[str, str]


@dataclass(frozen=True)
class DryFeedTold:
    """What is planned at a yard."""

    yard: Yard
    plan: DryFeedPlan
    units: Units
    own_colonies: int
    first: str = ""  # what comes before any feed there, by the facts of the yard
    figures: tuple[FigureUsed, ...] = ()  # behind what is told

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is said, the one they came for first."""
        return (self.first, *self.plan.sentences) if self.first else self.plan.sentences

    @property
    def stood(self) -> Stood:
        """As it is written down where it is really put out."""
        barred = self.plan.no_check_group
        place = barred.place
        return Stood(barred.since, place.latitude, place.longitude, barred.near_km, barred.far_km,
                     place.colonies_in_flight_range, self.own_colonies)  # fmt: skip


def dry_feed(yard: Yard, typed: Mapping[str, str], shelf: Shelf | None = None) -> DryFeedTold:
    """Dry feed at a yard by what was typed: colonies around, shelter, and the forecast of some days.

    Parameters
    ----------
    typed
        "own" and "around" in colonies, "sheltered" as yes or no; "high_1", "rain_1", "humidity_1", "wind_1"
        and on for the days from the yard's day, in the country's usual units or with their own.

    Errors
    ------
    YardError
        That names the field.
    """
    of, units = Typed(typed), units_of(yard.place.country)
    around = of.number("around", 1, 100_000, say("colonies, your own among them"))
    own = of.whole("own", 1, 100_000, "colonies") or yard.colonies
    place = yard.place if around is None else replace(yard.place, colonies_in_flight_range=around)
    if place.colonies_in_flight_range is not None and place.colonies_in_flight_range < own:
        raise YardError(
            "around",
            say(
                "{many:g} colonies, of which {own} are your own", many=place.colonies_in_flight_range, own=own
            ),
            say("all colonies, your own among them"),
        )
    station = Station(yard.name, place, yard.today, own, of.truth("sheltered"), units)
    days = [one for n in range(1, DAYS + 1) if (one := _day(of, n, yard.today, units)) is not None]
    shelf = shelf or load()
    reader = shelf.reader()
    made = dry_feed_plan(station, days, reader, np.random.default_rng(SEED))
    first = first_here(yard, reader)
    return DryFeedTold(yard, made, units, own, first, figures_used(shelf, reader.used))


def _day(of: Typed, n: int, today: date, units: Units) -> Weather | None:
    """The forecast of a day; None where nothing was typed."""
    keys = [f"{name}_{n}" for name in MEASURES]
    if not any(of.text(key) for key in keys):
        return None
    degrees, rain, _, wind = IN_USE[units]
    high = of.air(keys[0], degrees)
    if high is None:
        raise YardError(
            keys[0], say("is missing"), say("the day's high"), say("Without it nobody knows whether bees fly")
        )
    damp = of.number(keys[2], 0, 100, "%")
    if damp is not None and 0 < damp <= 1:
        raise YardError(
            keys[2],
            f"{damp:g} %",
            say("0 to 100 %"),
            say("If you typed a share, enter {damp:g}", damp=100 * damp),
        )
    return Weather(today + timedelta(days=n - 1), high, of.measured(keys[1], "rain", rain) or 0.0, damp,
                   of.measured(keys[3], "wind", wind))  # fmt: skip


def days_typed(days: Sequence[str]) -> dict[str, str]:
    """Days as options of a command, "58F 0in 60% 5mph", as the fields that they fill.

    Errors: YardError for a word that is none of the four, or more days than are asked for.
    """
    if len(days) > DAYS:
        raise YardError(
            "--day", say("{days} days", days=len(days)), say("up to {days}, the first one today", days=DAYS)
        )
    typed: dict[str, str] = {}
    for n, text in enumerate(days, 1):
        for word in text.split():
            bare = word.lstrip("-+−0123456789.").lower()
            name = {"%": "humidity", "mm": "rain", "in": "rain", "cm": "rain"}.get(bare)
            name = name or ("high" if bare.lstrip("°") in ("c", "f") else "")
            name = name or ("wind" if bare in ("mph", "m/s", "km/h", "kmh", "kn") else "")
            if not name:
                raise YardError("--day", say("\"{word}\" in \"{text}\" is not known", word=word, text=text),
                                say("high, rain, humidity and wind, such as 58F 0in 60% 5mph"))  # fmt: skip
            typed[f"{name}_{n}"] = word.rstrip("%")
    return typed


def barred_of(rows: Sequence[tuple[str, Stood]]) -> tuple[NoCheckGroup, ...]:
    """Where dry feed stood, by the name of its yard, as what a check group has to keep clear of."""
    return tuple(
        NoCheckGroup(name, Place(one.latitude, one.longitude), one.since, one.near_km, one.far_km)
        for name, one in rows
    )


def season_ends(since: date, latitude: float) -> date:
    """Until when it holds: the end of the bee year in which it stood, by hemisphere. [°]"""
    if latitude >= 0:
        return date(since.year, 12, 31)
    return date(since.year + (since.month > 6), 6, 30)


def holds_on(since: date, latitude: float, today: date) -> bool:
    """Whether dry feed that stood since a day still holds on another, by hemisphere. [°]"""
    return since <= today <= season_ends(since, latitude)


def no_check_here(yard: Yard, barred: Sequence[NoCheckGroup]) -> tuple[str, ...]:
    """What dry feed that stood this season means for a check group at a yard; empty where nothing."""
    said = []
    for one in barred:
        if not holds_on(one.since, one.place.latitude, yard.today):
            continue
        holds = one.holds(yard.name, yard.place)
        if holds == "outside":
            continue
        text = one.sentence(units_of(yard.place.country))
        doubt = {
            "doubtful": say("This yard lies at the edge of it: a check group here would be doubtful."),
            "unknown": say("How far this yard is from there is not known: give both a longitude."),
        }
        said.append(f"{text} {doubt.get(holds, '')}".strip())
    return tuple(said)


def day_words(day: OutDay) -> str:
    """Whether it goes out on a day, and why not."""
    return say("put it out") if day.out else say("leave it in: {why}", why=day.why)


def dry_feed_lines(told: DryFeedTold, kept: bool = False, spoils: Sequence[str] = ()) -> Iterator[Line]:
    """For a terminal; ``spoils`` is what it does to locked check groups."""
    first, *rest = told.sentences
    yield "bold", f"{told.yard.name}, {day_and_year(told.yard.today)}"
    yield "bold", first
    yield from (("", text) for text in spoils)
    yield from (("", text) for text in rest)
    if told.plan.days:
        yield "", ""
    for day in told.plan.days:
        yield "", f" - {day_and_year(day.on)}: {day_words(day)}"
    yield "", ""
    yield from (("", f" - {text}") for text in told.plan.warnings)
    if kept:
        yield (
            "",
            say("Written down in the book: no check group is drawn inside this flight range this season."),
        )


def dry_feed_document(told: DryFeedTold, kept: bool = False, spoils: Sequence[str] = ()) -> dict[str, Any]:
    """For other programs; ``spoils`` as in ``dry_feed_lines``."""
    plan = told.plan
    each, barred = plan.each_time_g, plan.no_check_group
    return {
        "shape": SHAPE,
        "yard": told.yard.name,
        "today": told.yard.today.isoformat(),
        "each_time_g": [round(g) for g in (each.low, each.middle, each.high)],
        "days": [{"on": d.on.isoformat(), "out": d.out, "why": d.why} for d in plan.days],
        "own_share": plan.own_share,
        "no_check_group": {
            "since": barred.since.isoformat(), "near_km": barred.near_km, "far_km": barred.far_km,
        },
        "first_before_feed": told.first,
        "sentences": list(told.sentences),
        "warnings": list(plan.warnings),
        "spoils": list(spoils),
        "kept": kept,
        "figures": figures_document(told.figures),
    }  # fmt: skip
