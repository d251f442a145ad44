"""An ensemble told as ranges: what a person is shown."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from breadline.need.outlook import Band, FramesEnd, Outlook, Range, ShortFrom, Spell
from breadline.need.ranks import at_ranks
from breadline.need.season import Course
from breadline.need.shortfall import Ledger
from breadline.need.weeks import around, sums
from breadline.span import FloatArray

LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9  # 8 seasons in 10
MOST_DAYS = 60.0  # bread for longer than this is told as this
SHOWN = ("adults", "brood", "reach_g", "need_g")  # of a course, by the ledger and by an outlook
SHOWN_FED = ("adults", "brood")
JOIN_DAYS = 7  # spells of shortage closer than this are one


@dataclass(frozen=True)
class Told:
    """What the outlook says about itself."""

    start: date
    today: int  # days from the count to today [d]
    bees_a_frame: float  # [bees]
    stops_because: str
    beyond: tuple[str, ...]  # what can be said of the time after the end
    weather_label: str
    weather_years: bool
    few_years: int | None  # years of weather where they are too few for a plain chance
    leaves_out: tuple[str, ...]
    notes: tuple[str, ...]
    frames_end: FramesEnd | None = None  # where bees and brood stop before the rest


def summary(course: Course, book: Ledger, fed: Course | None, told: Told) -> Outlook:
    """Quantiles, chances and spells of an ensemble; arrays of ``course`` have shape (days, members).

    Of ``course`` only the fields ``SHOWN`` are read, of ``fed`` only ``SHOWN_FED``.
    """
    days, members = course.need_g.shape
    dates = tuple(told.start + timedelta(days=t) for t in range(days))
    frames = days if told.frames_end is None else (told.frames_end.on - told.start).days + 1
    short = book.short.mean(axis=1)
    need_g = week_mean(course.need_g)
    return Outlook(
        start=told.start,
        dates=dates,
        need_g=band(need_g),
        income_g=band(week_mean(book.income_g)),
        bread_g=band(book.bread_g),
        bread_days=band(
            np.minimum(MOST_DAYS, bread / np.maximum(need, 0.1))
            for bread, need in zip(book.bread_g, need_g, strict=True)
        ),
        short=short,
        short_from=replace(short_from(book.first_short, dates, told.today), few_years=told.few_years),
        lasts_days=spread(book.lasts_days),
        spells=tuple(
            replace(spell, few_years=told.few_years) for spell in spells(book, short, dates, told.today)
        ),
        adults=band(course.adults[:frames]),
        brood=band(course.brood[:frames]),
        adults_fed=None if fed is None else band(fed.adults[:frames]),
        brood_fed=None if fed is None else band(fed.brood[:frames]),
        bees_a_frame=told.bees_a_frame,
        stops_because=told.stops_because,
        beyond=told.beyond,
        weather_label=told.weather_label,
        weather_years=told.weather_years,
        members=members,
        leaves_out=told.leaves_out,
        figures=(),
        notes=told.notes,
        today=dates[told.today],
        frames_end=told.frames_end,
    )


def band(rows: Iterable[FloatArray]) -> Band:
    """Quantiles over members, day by day; each row has shape (members,). In the unit of the rows."""
    found = []
    for row in rows:
        last = row.shape[0] - 1
        found.append(at_ranks(row, np.array([round(q * last) for q in (LOW, MIDDLE, HIGH)])))
    low, middle, high = np.array(found).T.copy()
    return Band(low, middle, high)  # members of the ensemble, not values between them


def spread(values: FloatArray) -> Range:
    """Quantiles of one value a member, shape (members,), in the unit of ``values``."""
    ordered = np.sort(values)
    low, middle, high = (float(ordered[round(q * (len(ordered) - 1))]) for q in (LOW, MIDDLE, HIGH))
    return Range(low, middle, high)


def short_from(first: FloatArray, dates: tuple[date, ...], today: int) -> ShortFrom:
    """When the members first fall short; ``first`` is a day index or inf, shape (members,). [d]"""
    ordered = np.sort(first)
    last = ordered.shape[0] - 1

    def on(q: float) -> date | None:
        day = ordered[round(q * last)]
        return dates[int(day)] if np.isfinite(day) else None

    earliest = on(LOW)
    return ShortFrom(
        chance=float(np.isfinite(first).mean()),
        earliest=earliest,
        middle=on(MIDDLE),
        latest=on(HIGH),
        not_before=earliest or dates[-1],
        now=bool((first <= today + 3).mean() > 0.5),
    )


def spells(book: Ledger, short: FloatArray, dates: tuple[date, ...], today: int) -> tuple[Spell, ...]:
    """Runs of days, from today on, on which half of the members or more are short; ``short`` [share]."""
    found: list[tuple[int, int]] = []
    for t in np.flatnonzero(short >= 0.5):
        if t < today:
            continue
        if found and t - found[-1][1] <= JOIN_DAYS:
            found[-1] = (found[-1][0], int(t))
        else:
            found.append((int(t), int(t)))
    return tuple(
        Spell(
            dates[a], dates[b], float(short[a : b + 1].max()), spread(book.missing_g[a : b + 1].sum(axis=0))
        )
        for a, b in found
    )


def week_mean(values: FloatArray) -> FloatArray:
    """Mean of the seven days around each day, fewer at the ends, as need and income [g/d].

    Shape (days, members).
    """
    first, end = around(values.shape[0])
    mean = np.empty_like(values)
    for t, week in enumerate(sums(values, first, end)):
        np.divide(week, end[t] - first[t], out=mean[t])
    return mean
