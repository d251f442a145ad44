"""How well outlooks foretold: later counts against the bands that were shown before them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import exp, log, sqrt
from typing import Literal

import numpy as np
from scipy.special import ndtr

from breadline.language import noted
from breadline.need.few_years import Z90
from breadline.need.outlook import Band
from breadline.need.yard import Given

What = Literal["bees", "brood"]
Place = Literal["inside", "below", "above", "died"]

FEWEST_FOR_ERROR = 8  # counts below which the model's own error is not worked out
SURE = 0.95  # of the range that chance alone leaves open
FED_ALIKE = 0.1  # by which the mean of a round may miss what was reckoned with; our judgement [share]


@dataclass(frozen=True)
class Shown:
    """An outlook as it was shown, in the course with the feed it reckoned with."""

    written: int  # place in the order of the book
    shown_on: date
    counted_on: date  # day of the count it was made from
    first: date  # day of the first value of its bands
    last: date  # day of the last
    given: tuple[Given, ...]  # feed it reckoned with
    model: str  # version of the program and of what it drew from

    def covers(self, on: date) -> bool:
        """Whether it has a value for that day."""
        return self.first <= on <= self.last


@dataclass(frozen=True)
class Count:
    """A count of the yard's average colony."""

    on: date
    written: int  # place in the order of the book, of its first entry
    seen: dict[What, float]  # what could be told in [bees] and [cells]
    error: dict[What, float]  # variance of the count about the yard's mean, on the log scale
    why_not: dict[What, str]  # what was counted but cannot be compared, and why
    least: Mapping[What, float] = field(default_factory=dict)  # what a count of none is below; as ``seen``
    hives: Mapping[What, int] = field(
        default_factory=dict
    )  # with bees, where they were gone through one by one
    empty: int = 0  # hives without bees among those gone through, which are no part of the average
    given: tuple[Given, ...] | None = None  # feed that the counted hives got themselves, where it is known
    unshared: tuple[date, ...] = ()  # days of feed of which nobody wrote down which group of a trial got it

    @property
    def told(self) -> set[What]:
        """What was counted, comparable or not."""
        return {*self.seen, *self.why_not}


@dataclass(frozen=True)
class Compared:
    """One count beside the band that was shown for its day, in [bees] or [cells]."""

    what: What
    on: date
    shown_on: date
    counted_on: date
    low: float
    middle: float
    high: float
    counted: float
    error: float  # variance of the count, on the log scale
    model: str  # as in ``Shown``
    least: float = 0.0  # what a count of none is below, in the unit of ``counted``
    season: str = ""  # yard and season; counts of one go together
    hives: int | None = None  # with bees, of which it is the mean, where they were gone through one by one
    empty: int = 0  # hives without bees beside them

    @property
    def place(self) -> Place:
        """Where the count lies; a colony of no bees is told apart, and is outside.

        A count of no brood says only that there was less than a keeper can see: it is inside a band
        that begins there.
        """
        if self.what == "bees" and self.counted == 0:
            return "died"
        if self.counted == 0:
            return "below" if self.low > self.least else "inside"
        if self.counted < self.low:
            return "below"
        return "above" if self.counted > self.high else "inside"

    @property
    def hoped(self) -> float:
        """Chance that a count falls inside, were the band right: its own error takes some out. [share]

        Each half of the band is taken as normal on the log scale; a band that reaches 0 is taken as holding.
        """
        if not 0 < self.low < self.middle < self.high:
            return 0.8
        sides = (log(self.middle / self.low), log(self.high / self.middle))
        return float(sum(ndtr(Z90 / sqrt(1 + self.error * (Z90 / side) ** 2)) - 0.5 for side in sides))

    @property
    def ratio(self) -> float | None:
        """Count over the middle of the band; None where one of them is 0. [1]"""
        return self.counted / self.middle if self.counted > 0 and self.middle > 0 else None


@dataclass(frozen=True)
class Aside:
    """A count that is compared with nothing, and why."""

    what: What
    on: date
    why: str


@dataclass(frozen=True)
class OwnError:
    """What the counts miss the middle by, beyond what counting itself explains."""

    log_sd: float  # on the log scale, floored at 0 [1]
    of: int  # counts behind it
    leans: float  # counts over middles, geometric mean [1]
    most: float  # what log_sd could be by the chance of few, 19 times in 20, each count on its own [1]

    @property
    def factor(self) -> float:
        """The same as a factor either way. [1]"""
        return exp(self.log_sd)

    def believed(self, log_sd: float) -> float:
        """What a fit goes by, on the log scale: scatter and lean, beside what was believed before. [1]

        A model that leans is as wrong as one that scatters. The belief ``log_sd`` [1] counts as
        ``FEWEST_FOR_ERROR`` counts, so that no error vanishes by the chance of few.
        """
        seen = self.of * (self.log_sd**2 + log(self.leans) ** 2)
        return sqrt((seen + FEWEST_FOR_ERROR * log_sd**2) / (self.of + FEWEST_FOR_ERROR))


BandsOf = Callable[[Shown], Mapping[What, Band]]


@dataclass(frozen=True)
class Fed:
    """Feed that was really put on, as the book has it now."""

    given: tuple[Given, ...] = ()
    unrecorded: tuple[date, ...] = ()  # days on which it was said that feed went on which nobody wrote down


def compared(
    counts: Sequence[Count], shown: Sequence[Shown], fed: Fed, bands_of: BandsOf
) -> list[Compared | Aside]:
    """Every count with the band foretold for it, or with the reason why there is none.

    A count is held against the latest outlook that was shown up to its day, was
    written down before the count, was made from a count of an earlier day and covers
    the day. Nothing is held against an outlook that knew the count, so there is no
    looking back. Of two counts of one day the later entry stands.

    Parameters
    ----------
    counts, shown
        Of one yard, in any order.
    fed
        What was really fed.
    bands_of
        Gives an outlook's bands, each of shape (days,) [bees] and [cells]; asked only for
        those that a count is held against, since a book may hold thousands.
    """
    found: list[Compared | Aside] = []
    for count in sorted(counts, key=lambda c: (c.on, c.written)):
        # A count said again keeps its place: no outlook is older than it for that.
        first = min(other.written for other in counts if other.on == count.on)
        known = replace(count, written=first)
        before = foretelling(known, shown)
        for what in sorted(count.told):
            why = count.why_not.get(what, "") or _why_not(known, before, shown, fed)
            if any(
                other.on == count.on and other.written > count.written and what in other.told
                for other in counts
            ):
                why = noted("another count of the same day was written down later")
            if why or before is None:
                found.append(Aside(what, count.on, why))
            else:
                found.append(_beside(what, count, before, bands_of(before)[what]))
    return found


def foretelling(count: Count, shown: Iterable[Shown]) -> Shown | None:
    """The outlook that a count is held against; None where there is none."""
    fit = [
        one
        for one in shown
        if one.counted_on < count.on
        and one.shown_on <= count.on
        and one.written < count.written
        and one.covers(count.on)
    ]
    return max(fit, key=lambda one: (one.shown_on, one.written), default=None)


def own_error(rows: Iterable[Compared]) -> OwnError | None:
    """The model's own error, from the record; None below 8 counts.

    Variance of the log ratios of count and middle, less the mean variance of the
    counts themselves (reader, and hives looked into standing for the yard), floored at
    0. Counts of 0 have no ratio and are left out. The error of the count that an
    outlook was made from stays in it, so it is rather too wide than too narrow.
    """
    told = [(log(row.ratio), row.error) for row in rows if row.ratio is not None]
    if len(told) < FEWEST_FOR_ERROR:
        return None
    from scipy.stats import chi2  # here: it is slow to load and seldom needed

    ratios, errors = np.array(told).T
    scatter, counting, free = float(np.var(ratios, ddof=1)), float(np.mean(errors)), len(told) - 1
    log_sd = sqrt(max(0.0, scatter - counting))
    at_least = max(scatter, counting)  # less than counting makes is chance
    most = sqrt(max(0.0, at_least * free / float(chi2.ppf(1 - SURE, free)) - counting))
    return OwnError(log_sd, len(told), exp(float(np.mean(ratios))), most)


def _why_not(count: Count, before: Shown | None, shown: Sequence[Shown], fed: Fed) -> str:
    if before is None:
        earlier = [one for one in shown if one.counted_on < count.on and one.written < count.written]
        if not earlier:
            return noted("no outlook was shown before it")
        return noted("no outlook shown before it reaches its day")

    def between(given: tuple[Given, ...]) -> list[Given]:
        return sorted(
            (one for one in given if before.counted_on <= one.on < count.on),
            key=lambda one: (one.on, one.grams),
        )

    if any(before.counted_on < day <= count.on for day in fed.unrecorded):
        return noted("feed went on between that nobody wrote down")
    if any(before.counted_on <= day < count.on for day in count.unshared):
        return noted("feed was told of the yard alone while a check group stood in it")
    if not _as_reckoned(between(fed.given), between(before.given)):
        return noted("feed went on between that the outlook did not reckon with, or less than it did")
    if count.given is not None and not _as_reckoned(between(count.given), between(before.given)):
        return noted("the hives that were counted were fed otherwise than the outlook reckoned for the yard")
    return ""


def _as_reckoned(fed: Sequence[Given], reckoned: Sequence[Given]) -> bool:
    """Whether feed went on the days that were reckoned with, each time within a tenth of the amount."""
    return len(fed) == len(reckoned) and all(
        one.on == other.on and abs(one.grams - other.grams) <= FED_ALIKE * other.grams
        for one, other in zip(fed, reckoned, strict=True)
    )


def _beside(what: What, count: Count, before: Shown, band: Band) -> Compared:
    day = (count.on - before.first).days
    return Compared(
        what=what,
        on=count.on,
        shown_on=before.shown_on,
        counted_on=before.counted_on,
        low=float(band.low[day]),
        middle=float(band.middle[day]),
        high=float(band.high[day]),
        counted=count.seen[what],
        error=count.error[what],
        model=before.model,
        least=count.least.get(what, 0.0),
        hives=count.hives.get(what) or None,
        empty=count.empty,
    )
