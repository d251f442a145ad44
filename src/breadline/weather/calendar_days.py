"""The same calendar days in another year."""

from __future__ import annotations

import numpy as np

from breadline.weather.table import Dates


def year_of(day: np.datetime64) -> int:
    """The calendar year of a date."""
    return int(day.astype("datetime64[Y]").astype(np.int64)) + 1970


def aligned(target: Dates, year: int) -> Dates:
    """The calendar days of ``target`` with the first in ``year``; same shape.

    29 February is the 28th where there is none; the 29th of a leap year is passed over
    where ``target`` has none.
    """
    months = target.astype("datetime64[M]")
    day = (target - months.astype("datetime64[D]")).astype(np.int64)
    moved = months + np.timedelta64(12 * (year - year_of(target[0])), "M")
    first = moved.astype("datetime64[D]")
    length = ((moved + np.timedelta64(1, "M")).astype("datetime64[D]") - first).astype(np.int64)
    return np.asarray(first + np.minimum(day, length - 1).astype("timedelta64[D]"))
