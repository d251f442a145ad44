"""What verdicts say of the gain: an interval for each estimate that nobody printed.

Almost every trial could be read only as a verdict. A verdict is an interval: "more bees" says that the
trial's own estimate lay above what its size could see, "no difference" that it lay within; without a
test it only says on which side of nothing it lay. Where both means were printed, the estimate stands for
itself. The true gain of a trial varies around the mean of all; both, mean and spread, are worked out on
a grid.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np
from scipy.special import ndtr

from breadline.knowledge.evidence import Comparison, Verdict, voting
from breadline.knowledge.shelf import Reader, Shelf
from breadline.span import FloatArray

MIDDLES = np.linspace(-2.0, 2.5, 451)  # mean log ratios tried
SPREADS = np.linspace(0.0025, 1.2, 121)  # standard deviations between trials tried
TINY = 1e-300  # keeps the logarithm of what cannot have happened finite
LARGE = 10  # colonies a group from which a trial counts as not small
Subset = Literal[
    "all", "dearth", "poor_spring", "pollen", "not_dearth", "with_pollen", "without_pollen", "large",
    "ricigliano2022", "peirson2024",
]  # fmt: skip


class Pooled(NamedTuple):
    """Median and 90 % range of the mean, median of the spread between trials. [log ratio]"""

    middle: float
    low: float
    high: float
    spread: float


@dataclass(frozen=True)
class Rules:
    """How a verdict is read as an interval; the figures ``votes.*`` of the shelf."""

    colony_log_sd: float  # spread between colonies of a group [log ratio]
    if_unsaid: float  # colonies a group where none were printed [colonies]
    bar_se: float  # standard errors from which a difference is called one [1]
    unseen_share: float  # how often a verdict that is not positive is published, of a positive one [share]
    middle_sd: float  # belief before any trial: mean 0, this spread [log ratio]
    spread_sd: float  # belief in the spread between trials: half-normal [log ratio]


def rules(reader: Reader) -> Rules:
    """As the shelf has them: each verdict at its word, every trial published."""
    return Rules(
        reader.typical("votes.colony_log_sd"),
        reader.typical("votes.colonies_if_unsaid"),
        reader.typical("votes.bar_se"),
        1.0,
        reader.typical("votes.middle_sd"),
        reader.typical("votes.spread_sd"),
    )


def wary(plain: Rules, reader: Reader) -> Rules:
    """The same for a reader who trusts less.

    Several outcomes and dates were tried until one was clear, and what is not positive is seldom published.
    """
    bar, unseen = reader.typical("votes.wary_bar_se"), reader.typical("votes.wary_unseen_share")
    return replace(plain, bar_se=bar, unseen_share=unseen)


@lru_cache(maxsize=64)  # the pages that tell it ask again and again
def pooled(rows: tuple[Comparison, ...], by: Rules) -> Pooled:
    """What the verdicts of ``rows`` say together; a study weighs one, however many rows it has.

    A verdict that was not read says nothing. Without rows it is the belief before any trial.
    """
    each = Counter(row.source for row in rows)
    alike: dict[Seen, float] = defaultdict(float)
    for row in rows:
        if row.verdict != "not read":
            alike[_seen(row, by)] += 1.0 / each[row.source]
    middle, spread = MIDDLES[:, None], SPREADS[None, :]
    log = -0.5 * (middle / by.middle_sd) ** 2 - 0.5 * (spread / by.spread_sd) ** 2
    for one, times in alike.items():
        log = log + times * _log_chance(one, by, middle, spread)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    low, mid, high = _quantiles(MIDDLES, weight.sum(1), (0.05, 0.5, 0.95))
    return Pooled(mid, low, high, _quantiles(SPREADS, weight.sum(0), (0.5,))[0])


def pooled_of(subset: Subset, reader: Reader, trust: Literal["plain", "wary"] = "plain") -> Pooled:
    """The same for a part of the shipped trials; a single study with a narrower belief before it."""
    by = rules(reader)
    if subset in ("ricigliano2022", "peirson2024"):
        by = replace(by, middle_sd=reader.typical("votes.one_trial_sd"))
    return pooled(part(subset), wary(by, reader) if trust == "wary" else by)


def of_shelf(subset: Subset, shelf: Shelf, trust: Literal["plain", "wary"] = "plain") -> Pooled:
    """``pooled_of`` with a fresh reader of this shelf."""
    return pooled_of(subset, shelf.reader(), trust)


def part(subset: Subset) -> tuple[Comparison, ...]:
    """The voting comparisons of a part."""
    return tuple(row for row in voting() if _belongs(row, subset))


def _belongs(row: Comparison, subset: Subset) -> bool:
    match subset:
        case "all":
            return True
        case "not_dearth":
            return row.forage_class in ("poor_spring", "pollen")
        case "with_pollen":
            return row.natural_pollen == "yes"
        case "without_pollen":
            return row.natural_pollen == "no"
        case "large":
            return (row.fed_colonies or 0) >= LARGE
        case _:
            return subset in (row.forage_class, row.source)


class Seen(NamedTuple):
    """What of a comparison decides its chance."""

    verdict: Verdict
    error: float  # of the trial's own estimate [log ratio]
    tested: bool  # without a test, a verdict says no more than on which side of 0 the estimate lay
    estimate: float | None  # where it was printed [log ratio]


def _seen(row: Comparison, by: Rules) -> Seen:
    fed, check = row.fed_colonies or by.if_unsaid, row.check_colonies or by.if_unsaid
    return Seen(row.verdict, by.colony_log_sd * math.sqrt(1.0 / fed + 1.0 / check), row.tested, row.log_ratio)


def _log_chance(one: Seen, by: Rules, middle: FloatArray, spread: FloatArray) -> FloatArray:
    """Log chance of what was seen for each mean and spread, shape (middles, spreads)."""
    around = np.sqrt(spread**2 + one.error**2)
    bar = by.bar_se * one.error if one.tested else 0.0
    more, less = ndtr((middle - bar) / around), ndtr((-bar - middle) / around)
    published = np.log(more + by.unseen_share * (1.0 - more))
    share = 0.0 if one.verdict == "positive" else math.log(by.unseen_share)
    if one.estimate is not None:
        return np.asarray(share - 0.5 * ((one.estimate - middle) / around) ** 2 - np.log(around) - published)
    chance = {"positive": more, "negative": less}.get(one.verdict, 1.0 - more - less)
    return np.asarray(share + np.log(np.maximum(chance, TINY)) - published)


def _quantiles(at: FloatArray, weight: FloatArray, shares: tuple[float, ...]) -> list[float]:
    return [float(q) for q in np.interp(shares, np.cumsum(weight) - weight / 2.0, at)]
