"""Days that are known, measured or forecast, put in front of every path."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from breadline.language import Later, say, say_later
from breadline.span import FloatArray
from breadline.weather.counted import counted
from breadline.weather.flying import FlyingDays
from breadline.weather.table import Dates, Note


@dataclass(frozen=True)
class Paths:
    """Temperatures and flight hours of several seasons; arrays of shape (paths, days)."""

    tmin_c: FloatArray  # [°C]
    tmax_c: FloatArray  # [°C]
    tmean_c: FloatArray  # [°C]
    flight_h: FloatArray  # [h/day]


def rows_of(past: FlyingDays, wanted: Dates, wrap: bool) -> NDArray[np.int64]:
    """Rows of ``past`` for the days wanted, −1 where it has none; a typical year wraps round."""
    at = np.asarray((wanted - past.date[0]).astype(np.int64), dtype=np.int64)
    if wrap:
        at = at % len(past.date)
    return np.where((at >= 0) & (at < len(past.date)), at, -1)


def taken(column: FloatArray, rows: NDArray[np.int64]) -> FloatArray:
    """``column`` at ``rows``, NaN for −1; the shape of ``rows``, the unit of the column."""
    return np.where(rows >= 0, column[rows], np.nan)


def measured_days(past: FlyingDays, target: Dates, today: np.datetime64 | None) -> NDArray[np.bool_]:
    """Which days of ``target`` were measured before ``today``; shape (days,)."""
    if today is None:
        return np.zeros(len(target), dtype=bool)
    return np.isin(target, _known(past)) & (target < today)


def with_measured(
    paths: Paths, past: FlyingDays, target: Dates, shared: NDArray[np.bool_]
) -> tuple[Paths, tuple[Note, ...]]:
    """The paths with the measured days ``shared`` put in, and what to say of it."""
    if not shared.any():
        return paths, ()
    days = target[shared]
    text = say_later(
        "{days} measured, {period}, the same in every path.",
        days=counted(len(days), "day"),
        period=_period(days),
    )
    return _joined(paths, past, target, shared), (Note("assumed", text, len(days)),)


def with_forecast(
    paths: Paths, ahead: FlyingDays, target: Dates, measured: NDArray[np.bool_], label: str
) -> tuple[Paths, str, tuple[Note, ...]]:
    """The paths with the days of a forecast put in, the new label, and what to say of it.

    Days that were measured stay as they were: a forecast's own past days are modelled.
    """
    shared = np.isin(target, _known(ahead)) & ~measured
    if not shared.any():
        text = say_later("The forecast has no day of this season and was left out.")
        return paths, label, (Note("warning", text),)
    days = target[shared]
    many = counted(len(days), "day")
    text = say_later("{days} of forecast, {period}, in front of every path.", days=many, period=_period(days))
    note = Note("assumed", text, len(days))
    label = say("{label}, after {days} of forecast", label=label, days=many)
    return _joined(paths, ahead, target, shared), label, (note,)


def _period(days: Dates) -> str | Later:
    first, last = f"{days[0]!s}", f"{days[-1]!s}"
    return say_later("{first} to {last}", first=first, last=last) if len(days) > 1 else first


def _known(days: FlyingDays) -> Dates:
    return days.date[~np.isnan(days.flight_h + days.tmin_c + days.tmax_c)]


def _joined(paths: Paths, certain: FlyingDays, target: Dates, shared: NDArray[np.bool_]) -> Paths:
    """The paths with the days marked in ``shared`` replaced by those of ``certain``."""
    rows = rows_of(certain, target[shared], False)
    pairs = (
        (paths.tmin_c, certain.tmin_c),
        (paths.tmax_c, certain.tmax_c),
        (paths.tmean_c, certain.tmean_c),
        (paths.flight_h, certain.flight_h),
    )
    columns = []
    for drawn, known in pairs:
        joined = drawn.copy()
        joined[:, shared] = known[rows]
        columns.append(joined)
    return Paths(*columns)
