"""How many unfed colonies could tell what: a row for each size of the check group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import expm1, sqrt

import numpy as np
from scipy import optimize

from breadline.errors import TrialError
from breadline.language import say
from breadline.trial.arrangements import FEWEST_SETS, refuse_blunt, smallest_one_sided_p
from breadline.trial.classes import LEVEL, AnswerClass, Lines
from breadline.trial.sets import IntArray, Noise, Sets, sets_precision
from breadline.trial.size import Precision, YardDraw, chance_told_above, class_chances
from breadline.trial.spread import ColonySpread
from breadline.trial.value_path import Strengths

POWER = 0.80  # with which a smallest difference is told [share]
HALVES = 4  # times the colonies that half the difference asks for
MOST_SETS = 20_000  # looked at
DOUBLINGS = 12  # of a difference before no benefit is told
FARTHEST = 40.0  # standard errors; a difference beyond it is always told [-]


@dataclass(frozen=True)
class Questions:
    """What the chances are asked for.

    Parameters
    ----------
    lines
        Break-even and margin. [unit of the outcome]
    believed
        The belief's median. [unit of the outcome]
    """

    lines: Lines
    believed: float


@dataclass(frozen=True)
class PaidChance:
    """Chance of "paid" at true benefits, each a [share]."""

    at_zero: float
    at_break_even: float
    at_twice: float
    at_believed: float


@dataclass(frozen=True)
class SizeRow:
    """One size of the check group, and what it could tell.

    Parameters
    ----------
    check, fed
        Units drawn, colonies or yards.
    in_yards
        Unfed units of each yard, 0 where it has none; empty where yards are drawn.
    fed_each
        Fed colonies beside each unfed one; 0 where yards are drawn.
    precision
        Standard error and degrees of freedom. [unit of the outcome]
    paid
        Chance of "paid".
    classes
        Chance of each class at the believed benefit, each a [share].
    from_zero, from_break_even
        Smallest true benefit told above 0, and above the break-even, four times in five; infinite
        where none is. [unit of the outcome]
    smallest_p
        Smallest one-sided p value that a permutation of the draw can show. [share]
    """

    check: int
    fed: int
    in_yards: tuple[int, ...]
    fed_each: int
    precision: Precision
    paid: PaidChance
    classes: dict[AnswerClass, float]
    from_zero: float
    from_break_even: float
    smallest_p: float


def colony_noise(check: Strengths, spread: ColonySpread, missing: float) -> Noise:
    """What blurs a comparison of colonies started, the dead as 0.

    Deaths widen the spread, and no baseline tells them: it explains the living only. ``missing``
    is the share of ends that nobody will know [share].
    """
    living = check.alive * sqrt(expm1(spread.log_sd**2))
    started = sqrt((1.0 - check.dead) * (living**2 + check.alive**2) - check.mean**2)
    return Noise(started, spread.baseline_r * (1.0 - check.dead) * living / started, missing, check.mean)


def sets_of(check: int, fed_each: int, yards: Sequence[int]) -> tuple[Sets, tuple[int, ...]]:
    """Sets of one unfed and ``fed_each`` fed colonies, shared out over yards by their size.

    Parameters
    ----------
    check
        Unfed colonies in all.
    fed_each
        Fed colonies beside each.
    yards
        Colonies of each yard.

    Errors
    ------
    TrialError
        If the yards do not hold as many colonies.
    """
    room = np.array([n // (1 + max(fed_each, 1)) for n in yards], dtype=np.int64)
    if check < 1 or fed_each < 1 or int(room.sum()) < check:
        raise TrialError(
            "check group",
            say("{n} unfed colonies with {fed} fed ones beside each are more than the yards hold", n=check,
                fed=fed_each),
            say("1 to {n} unfed colonies", n=int(room.sum())),
            say("Leave fewer unfed, or draw fewer fed ones into the comparison"),
        )  # fmt: skip
    each = _shared_out(check, np.asarray(yards, dtype=np.float64), room)
    ones = np.ones(check, dtype=np.int64)
    return Sets(ones, ones * fed_each), tuple(each.tolist())


def _shared_out(check: int, weights: np.ndarray, room: IntArray) -> IntArray:
    """Whole numbers by weight, none above its room: each goes where the share is farthest from reached."""
    each = np.zeros(len(room), dtype=np.int64)
    for _ in range(check):
        wanting = np.where(each < room, (each + 0.5) / weights, np.inf)
        each[int(np.argmin(wanting))] += 1
    return each


def colony_precision(
    check: int, fed_each: int, yards: Sequence[int], noise: Noise, rng: np.random.Generator
) -> Precision:
    """How sharply colonies drawn within sets of their yard are seen; parameters as ``colony_row``.

    Errors
    ------
    TrialError
        If the yards do not hold as many, the draw is too blunt, or nothing is left to judge by.
    """
    sets, _ = sets_of(check, fed_each, yards)
    refuse_blunt(sets.sizes, sets.fed, "colonies")
    return sets_precision(sets, noise, rng)


def colony_row(
    check: int, fed_each: int, yards: Sequence[int], noise: Noise, asked: Questions, rng: np.random.Generator
) -> SizeRow:
    """A row for colonies drawn within sets of their yard.

    Parameters
    ----------
    check, fed_each, yards
        As ``sets_of`` takes them.
    noise
        What blurs it. [unit of the outcome]
    asked
        What the chances are asked for.
    rng
        For baselines that a draw may bring, and ends that go missing.

    Errors
    ------
    TrialError
        As ``colony_precision``.
    """
    seen = colony_precision(check, fed_each, yards, noise, rng)
    sets, each = sets_of(check, fed_each, yards)
    least = smallest_one_sided_p(sets.sizes, sets.fed)
    return _row((check, check * fed_each), (each, fed_each), Seen(seen, noise), asked, least)


def fewest_sets(benefit: float, noise: Noise, rng: np.random.Generator) -> int:
    """Sets of one colony an arm that tell a true ``benefit`` [unit of the outcome] four times in five.

    Errors
    ------
    TrialError
        If the benefit is not above 0, or no number that anybody has would do.
    """

    def told(n: int) -> bool:
        ones = np.ones(n, dtype=np.int64)
        seen = sets_precision(Sets(ones, ones), noise, rng)
        return seen.se * _told_at(seen) <= benefit

    few, many = FEWEST_SETS, 2 * FEWEST_SETS
    while benefit <= 0 or not told(many):
        few, many = many, 2 * many
        if many > MOST_SETS or benefit <= 0:
            raise TrialError("benefit", f"{benefit:g}", say("one that {n:,} sets could tell", n=MOST_SETS))
    while many - few > 1:
        middle = (few + many) // 2
        few, many = (few, middle) if told(middle) else (middle, many)
    return few if told(few) else many


def yard_row(draw: YardDraw, asked: Questions) -> SizeRow:
    """A row for whole yards drawn.

    Errors
    ------
    TrialError
        If the draw is too blunt, or nothing is left to judge by.
    """
    if draw.pairs:
        sizes, fed = np.full(draw.check, 2, dtype=np.int64), np.ones(draw.check, dtype=np.int64)
    else:
        sizes, fed = np.array([draw.check + draw.fed]), np.array([draw.fed])
    refuse_blunt(sizes, fed, "yards")
    noise = Noise(draw.sd, draw.baseline_r, mean=draw.mean)
    least = smallest_one_sided_p(sizes, fed)
    return _row((draw.check, draw.fed), ((), 0), Seen(draw.precision, noise), asked, least)


@dataclass(frozen=True)
class Seen:
    """How sharply a design sees: at no benefit, and how that widens with it."""

    at_none: Precision
    noise: Noise

    def at(self, benefit: float, units: tuple[int, int]) -> Precision:
        """Precision at a true ``benefit`` [unit of the outcome] with so many check and fed units."""
        return Precision(self.at_none.se * self.noise.widened(benefit, units), self.at_none.df)


def _row(
    units: tuple[int, int], sets: tuple[tuple[int, ...], int], seen: Seen, asked: Questions, least: float
) -> SizeRow:
    lines = asked.lines
    line = max(lines.break_even, 0.0)
    at = (0.0, line, 2.0 * line, asked.believed)
    paid = PaidChance(*(chance_told_above(line, b, seen.at(b, units), LEVEL) for b in at))
    classes = class_chances(asked.believed, seen.at(asked.believed, units), lines, LEVEL)
    from_zero, from_line = (_told_from(told, seen, units) for told in (0.0, line))
    return SizeRow(*units, *sets, seen.at_none, paid, classes, from_zero, from_line, least)


def told_from_nothing(units: tuple[int, int], precision: Precision, noise: Noise) -> float:
    """Smallest true benefit [unit of the outcome] that so many check and fed units tell from nothing."""
    return _told_from(0.0, Seen(precision, noise), units)


def _told_from(line: float, seen: Seen, units: tuple[int, int]) -> float:
    """Smallest true benefit told from a ``line`` [unit of the outcome] with power ``POWER`` [same unit]."""
    reach = _told_at(seen.at_none)

    def short(benefit: float) -> float:
        return benefit - line - reach * seen.at(benefit, units).se

    high = line + reach * seen.at_none.se
    for _ in range(DOUBLINGS):
        if short(high) >= 0.0:
            return float(optimize.brentq(short, line, high, xtol=1e-9))
        high = line + 2.0 * (high - line)
    return float("inf")


def _told_at(seen: Precision) -> float:
    """True benefit, in standard errors beyond a line, told from it with power ``POWER`` [-]."""
    unit = Precision(1.0, seen.df)
    return float(
        optimize.brentq(lambda d: chance_told_above(0.0, d, unit, LEVEL) - POWER, 0.0, FARTHEST, xtol=1e-6)
    )
