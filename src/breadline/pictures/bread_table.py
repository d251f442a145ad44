"""The bread chart as rows, one a week, for the page's table."""

from __future__ import annotations

from typing import Any

import numpy as np

from breadline.language import noted, say, say_as
from breadline.measures import Units
from breadline.need.outlook import Band, Outlook
from breadline.need.summary import MOST_DAYS
from breadline.need.words import chance_in_hundred
from breadline.pictures.series import WEEK, Series, series_of
from breadline.pictures.wording import per_week
from breadline.span import FloatArray

DIGITS = {"lb": 2, "g": 0}
FIRST_DAY = noted("week from")  # heading of the one column of dates


def bread_table(outlook: Outlook, units: Units) -> list[dict[str, Any]]:
    """What the bread chart shows, one row a week from the first day; the last week may be short.

    Pollen and need are the mean of the row's days times seven; bread and bees are those of the
    row's first day. Each triple is low, middle and high: 8 seasons in 10 lie between low and high.
    Chances are words in steps of 5, a range from few years of weather, as the sentences say them.
    Bread is missing on the days that the chart stripes; the heading says where it still is on the last
    day. Headings carry their unit; bread left is None where its days of need cannot be counted, bees and
    brood where they are not foretold.

    Parameters
    ----------
    outlook
        Arrays of shape (days,), units as in :class:`breadline.need.outlook.Outlook`.
    units
        ``lb`` or ``g`` for pollen.

    Errors
    ------
    OurFault
        If the outlook is empty, ragged or holds a value that is not a number.
    """
    series = series_of(outlook, units)  # refuses what cannot be shown
    return [_row(outlook, series, units, first) for first in range(0, len(outlook.dates), WEEK)]


def bread_left() -> str:
    """The heading of the bread left, whose cells are empty where nothing is needed."""
    return say("bread left [days, {most:g} = or more]", most=MOST_DAYS)


def _row(outlook: Outlook, series: Series, units: Units, first: int) -> dict[str, Any]:
    days = slice(first, first + WEEK)
    row: dict[str, Any] = {FIRST_DAY: outlook.dates[first].isoformat()}
    for name, band in (
        (say_as("chart", "need"), outlook.need_g),
        (say("pollen coming in"), outlook.income_g),
    ):
        mean = Band(*(np.array([a[days].mean()]) for a in (band.low, band.middle, band.high)))
        row |= _triple(
            say("{name} [{unit}/week]", name=name, unit=units), mean, 0, per_week(1.0, units), DIGITS[units]
        )
    if outlook.short_from is not None:
        row |= _short(outlook, series, days)
    row |= _triple(bread_left(), outlook.bread_days, first, 1.0, 0)
    frames = 1.0 / outlook.bees_a_frame
    row |= _triple(say("frames of bees, without feed [frames]"), outlook.adults, first, frames, 1)
    if outlook.adults_fed is not None:
        row |= _triple(say("frames of bees, with feed [frames]"), outlook.adults_fed, first, frames, 1)
    row |= _triple(say("brood, all stages [cells]"), outlook.brood, first, 1.0, -2)
    return row


def _short(outlook: Outlook, series: Series, days: slice) -> dict[str, Any]:
    """Chance and days of bread missing; told only where the model fits the yard."""
    chance = chance_in_hundred(float(outlook.short[days].max()), outlook.few_years)
    still = say(", and still on the last day shown") if series.open_end else ""
    gone = series.missing[days] & (series.need.middle[days] > series.income.middle[days])
    return {
        say("seasons short on the worst day [in 100]"): chance.removesuffix(say("{n} in 100", n="")),
        say("bread missing{still} [days]", still=still): int(gone.sum()),
    }


def _triple(heading: str, band: Band, day: int, scale: float, digits: int) -> dict[str, float | None]:
    parts = (("low", band.low), ("middle", band.middle), ("high", band.high))
    return {f"{heading}, {part}": _rounded(values, day, scale, digits) for part, values in parts}


def _rounded(values: FloatArray, day: int, scale: float, digits: int) -> float | None:
    if day >= len(values):
        return None  # bees and brood stop before the rest
    value = float(values[day]) * scale
    return round(value, digits) if np.isfinite(value) else None
