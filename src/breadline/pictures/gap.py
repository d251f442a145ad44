"""The gap between need and pollen: taken from the comb, or missing."""

from __future__ import annotations

import numpy as np

from breadline.pictures.canvas import Row
from breadline.pictures.series import Flags, Series
from breadline.span import FloatArray

STEPS = (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0, 2.0, 4.0, 7.0, 14.0)  # days between two stripes


def gap_rows(series: Series, missing: bool) -> list[Row]:
    """Area rows of the gap, either where bread is ``missing`` or where the comb still gives it.

    Each day's kind holds up to the next day, so neighbouring pieces meet without a slit.
    """
    need, income = series.need.middle, series.income.middle
    top = np.maximum(need, income)
    rows: list[Row] = []
    for run, (first, last) in enumerate(runs(series.missing == missing)):
        end = min(last + 1, len(top) - 1)
        if not np.any(top[first : end + 1] > income[first : end + 1]):
            continue
        rows += [
            {"d": d, "v": round(float(income[d]), 4), "w": round(float(top[d]), 4), "run": run}
            for d in range(first, end + 1)
        ]
    return rows


def stripe_rows(series: Series, pixels_a_day: float, room: float) -> list[Row]:
    """One upright rule at a time, at least ``room`` [px] apart, only on days on which bread is missing."""
    step = next((s for s in STEPS if s * pixels_a_day >= room), STEPS[-1])
    days = np.arange(len(series.dates), dtype=float)
    at = np.arange(step / 2, max(days[-1], step), step)
    need = np.interp(at, days, series.need.middle)
    income = np.interp(at, days, series.income.middle)
    short = series.missing[np.minimum(at.astype(int), len(days) - 1)]
    return [
        {
            "d": round(float(d), 3),
            "e": round(float(d), 3),
            "v": round(float(low), 4),
            "w": round(float(high), 4),
        }
        for d, low, high, gone in zip(at, income, need, short, strict=True)
        if gone and high > low
    ]


def open_end(series: Series) -> list[Row]:
    """Where the gap runs off the last day with bread still missing: the middle of it, or nothing."""
    if not series.open_end:
        return []
    middle = (float(series.need.middle[-1]) + float(series.income.middle[-1])) / 2
    return [{"d": len(series.dates) - 1, "v": round(middle, 4)}]


def runs(flags: Flags) -> list[tuple[int, int]]:
    """First and last index of each unbroken run of True."""
    edges = np.diff(np.concatenate([[0], flags.astype(int), [0]]))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1
    return list(zip(starts.tolist(), ends.tolist(), strict=True))


def widest(weight: FloatArray, flags: Flags) -> tuple[int, int] | None:
    """The run of True with the largest sum of ``weight``, or None."""
    found = runs(flags)
    return max(found, key=lambda r: float(weight[r[0] : r[1] + 1].sum())) if found else None
