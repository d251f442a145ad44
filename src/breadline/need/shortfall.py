"""When bread and income no longer cover the need.

A ledger a keeper could keep on paper: bread on the comb, plus what comes in,
less what the brood that bees and season allow would need. See
``docs/decisions/0002-the-need-line.md`` for why not the model's own store.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.need.parameters import Parameters
from breadline.need.season import Course
from breadline.need.season_day import pollen_share
from breadline.need.weeks import ahead, sums
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


def short_rule(reader: Reader) -> ShortRule:
    """The rule as the shelf has it."""
    return ShortRule(reader.typical("shortage.min_share"), reader.typical("shortage.min_g_day"))


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
    first = _first(short, today)
    now = bread_at_start_g if today == 0 else bread[today - 1]
    return Ledger(bread, income, missing, short, first, _lasts(need[today:], now))


def _first(short: np.ndarray, today: int) -> FloatArray:
    """The first day from ``today`` on that is short, inf where none is; shape (members,). [d]"""
    first = np.full(short.shape[1], np.inf)
    for t in range(short.shape[0] - 1, today - 1, -1):
        first[short[t]] = t
    return first


def _short_weeks(missing: FloatArray, need: FloatArray, rule: ShortRule) -> np.ndarray:
    short = np.empty(missing.shape, dtype=bool)
    first, end = ahead(missing.shape[0], WINDOW)
    weeks = zip(sums(missing, first, end), sums(need, first, end), strict=True)
    for t, (lacking, wanted) in enumerate(weeks):
        share = lacking >= rule.min_share * np.maximum(wanted, 1e-9)
        # Bread runs out on the day when something is missing, not in the week before it.
        short[t] = share & (lacking >= rule.min_g_day * float(end[t] - first[t])) & (missing[t] > 0)
    return short


def _lasts(need: FloatArray, bread: FloatArray) -> FloatArray:
    lasts, eaten = np.full(bread.shape, np.inf), np.zeros(bread.shape)
    for t, today in enumerate(need):
        after = eaten + today
        (gone,) = np.nonzero((after >= bread) & np.isinf(lasts))
        part = (bread[gone] - eaten[gone]) / np.maximum(today[gone], 1e-9)
        lasts[gone] = t + np.clip(part, 0.0, 1.0)
        if np.isfinite(lasts).all():
            break
        eaten = after
    return lasts
