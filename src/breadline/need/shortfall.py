"""When bread and income no longer cover the need.

A ledger a keeper could keep on paper: bread on the comb, plus what comes in,
less what the brood that bees, season and warmth allow would need. See
``docs/decisions/0002-the-need-line.md`` for why not the model's own store.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.need.parameters import Parameters
from breadline.need.season import Course
from breadline.need.season_day import pollen_share
from breadline.span import FloatArray

WINDOW = 7  # days; brood bridges one bad day, not a week


@dataclass(frozen=True)
class ShortRule:
    """When a week counts as short.

    Sources
    -------
    ``shortage.*`` on the shelf, our judgement.
    """

    min_share: float  # of the week's need that is missing [share]
    min_g_day: float  # and at least so much [g/d]


@dataclass(frozen=True)
class Ledger:
    """Shape (days, members) unless said."""

    bread_g: FloatArray  # on the comb at the end of the day [g]
    income_g: FloatArray  # pollen that a colony with that bread brings in [g/d]
    missing_g: FloatArray  # need that neither comb nor income covers [g/d]
    short: np.ndarray  # the week that begins on this day is short [bool]
    first_short: FloatArray  # day index from today on, inf where never; shape (members,) [d]
    lasts_days: FloatArray  # bread with no pollen coming in, inf beyond the outlook, shape (members,) [d]


def ledger(
    course: Course, bread_at_start_g: FloatArray, par: Parameters, rule: ShortRule, today: int = 0
) -> Ledger:
    """Keep the ledger of every member.

    How many foragers go for pollen follows the ledger's own bread: the colony of
    the model spares its bread by rearing less, and would bring in less for that.

    Parameters
    ----------
    course
        Need, and the pollen within reach, of each day.
    bread_at_start_g
        Shape (members,). [g]
    par
        For the share of pollen foragers.
    rule
        When a week counts as short.
    today
        Days from the count to today; what lies before it is not foretold. [d]
    """
    need = course.need_g
    bread, income, missing = np.empty_like(need), np.empty_like(need), np.empty_like(need)
    left = bread_at_start_g.copy()
    for t in range(need.shape[0]):
        income[t] = course.reach_g[t] * pollen_share(par, left, need[t])
        balance = left + income[t] - need[t]
        missing[t] = np.maximum(0.0, -balance)
        left = np.maximum(0.0, balance)
        bread[t] = left
    short = _short_weeks(missing, need, rule)
    ahead = short[today:]
    first = np.where(ahead.any(0), ahead.argmax(0).astype(np.float64) + today, np.inf)
    now = bread_at_start_g if today == 0 else bread[today - 1]
    return Ledger(bread, income, missing, short, first, _lasts(need[today:], now))


def _ahead(values: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Sum over the week that begins on the day, and its days; at the end over the last whole week."""
    total = np.concatenate([np.zeros((1, values.shape[1])), np.cumsum(values, axis=0)])
    days = values.shape[0]
    first = np.minimum(np.arange(days), max(days - WINDOW, 0))
    end = np.minimum(first + WINDOW, days)
    return total[end] - total[first], (end - first)[:, None].astype(np.float64)


def _short_weeks(missing: FloatArray, need: FloatArray, rule: ShortRule) -> np.ndarray:
    lacking, days = _ahead(missing)
    wanted, _ = _ahead(need)
    share = lacking >= rule.min_share * np.maximum(wanted, 1e-9)
    # Bread runs out on the day when something is missing, not in the week before it.
    return np.asarray(share & (lacking >= rule.min_g_day * days) & (missing > 0))


def _lasts(need: FloatArray, bread: FloatArray) -> FloatArray:
    eaten = np.cumsum(need, axis=0)
    gone = eaten >= bread
    day = np.where(gone.any(0), gone.argmax(0), need.shape[0] - 1)
    members = np.arange(need.shape[1])
    before = np.where(day > 0, eaten[np.maximum(day - 1, 0), members], 0.0)
    part = np.clip((bread - before) / np.maximum(need[day, members], 1e-9), 0.0, 1.0)
    return np.where(gone.any(0), day + part, np.inf)
