"""Where colonies are paid for by a line: frames turned into the share that makes it, and that into money."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy import stats

from breadline.errors import BreadlineError
from breadline.span import FloatArray
from breadline.trial.classes import LEVEL, AnswerClass, Lines, class_of_interval
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, Unit
from breadline.trial.value_path import NOT_ONE, MakingGrade, Strengths, fitted_strengths
from breadline.verdict.ancova import classical_contrast, contrast, fit
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends import Ends, IntArray
from breadline.verdict.ends_of import Came
from breadline.verdict.weights import contrast_of
from breadline.verdict.yard_means import means_of_yards

REDRAWN = 999  # times that the sets are drawn again for an interval
FEWEST_SETS = 10  # fewer, and colonies are drawn again inside their group, since so few sets show no spread
LEAST_SHARE = 1e-6  # a margin of shares that is nothing at all [share]


@dataclass(frozen=True)
class Share:
    """A number with nine in ten of what sets drawn again make of it. [share or money/colony]"""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class MadeGrade:
    """Shares making grade, and what they are worth.

    Parameters
    ----------
    check, fed
        Share of each group by its fitted frames, lost colonies at 0. [share]
    more
        Fed less check. [share]
    money
        What it is worth before cost. [money/colony]
    raw_check, raw_fed
        Shares as they were counted. [share]
    raw
        Their difference, by itself; None where chance cannot be judged.
    needed
        Share more that pays. [share]
    given
        The class of the counted share alone.
    """

    check: float
    fed: float
    more: Share
    money: Share
    raw_check: float
    raw_fed: float
    raw: Contrast | None
    needed: float
    given: AnswerClass


def made_grade(design: Design, came: Came, path: MakingGrade, rng: np.random.Generator) -> MadeGrade:
    """The shares of both groups by their fitted frames, with the counted ones beside them.

    Parameters
    ----------
    design, came
        The trial; its lines are in frames.
    path
        From frames to money; its check group is put in place of the one seen.
    rng
        For sets drawn again.
    """
    known = came.known
    check, fed = (_fitted(known.outcome[known.arm == arm]) for arm in (CHECK, design.primary))
    seen = replace(path, check=check)
    redrawn = _redrawn(known, design, rng)
    drawn = [_pair(known, design, rows) for rows in redrawn.rows]
    shares = np.array([path.share_of(f) - path.share_of(c) for c, f in drawn])
    moneys = np.array([path.between(c, f) for c, f in drawn])
    made = (known.outcome >= path.target.grade).astype(np.float64)
    raw, lines = _counted(design, came, made), lines_in_shares(seen, design.lines)
    return MadeGrade(
        check=seen.share_of(check),
        fed=seen.share_of(fed),
        more=_range(shares, seen.share_of(fed) - seen.share_of(check), redrawn.units),
        money=_range(moneys, seen.between(check, fed), redrawn.units),
        raw_check=float(made[known.arm == CHECK].mean()),
        raw_fed=float(made[known.arm == design.primary].mean()),
        raw=raw,
        needed=lines.break_even,
        given=AnswerClass.TOO_FEW if raw is None else _class(raw, lines),
    )


def _pair(known: Ends, design: Design, rows: IntArray) -> tuple[Strengths, Strengths]:
    outcome, arm = known.outcome[rows], known.arm[rows]
    check, fed = (_fitted(outcome[arm == which]) for which in (CHECK, design.primary))
    return check, fed


def _fitted(frames: FloatArray) -> Strengths:
    """As fitted; a redrawn group without a living colony has next to none."""
    if not np.any(frames > 0):
        return NOT_ONE
    return fitted_strengths(frames)


@dataclass(frozen=True)
class _Redrawn:
    """Rows of every draw, and how many units it draws from: sets, or colonies of the smaller group."""

    rows: list[IntArray]
    units: int


def _redrawn(known: Ends, design: Design, rng: np.random.Generator) -> _Redrawn:
    """Rows of sets drawn again with replacement, both groups in each draw."""
    _, block = np.unique(known.block, return_inverse=True)
    sets = [np.flatnonzero(block == k) for k in range(int(block.max()) + 1)]
    if len(sets) < FEWEST_SETS or design.unit is Unit.YARD:
        arms = [np.flatnonzero(known.arm == arm) for arm in (CHECK, design.primary)]
        again = [np.concatenate([rng.choice(rows, len(rows)) for rows in arms]) for _ in range(REDRAWN)]
        return _Redrawn(again, min(map(len, arms)))
    found: list[IntArray] = []
    while len(found) < REDRAWN:
        rows = np.concatenate([sets[k] for k in rng.integers(0, len(sets), len(sets))])
        if {CHECK, design.primary} <= set(known.arm[rows].tolist()):
            found.append(rows)
    return _Redrawn(found, len(sets))


def _range(drawn: FloatArray, middle: float, units: int) -> Share:
    """Nine in ten, the ends taken farther out where few units were drawn from.

    Draws with replacement from n units spread by (n - 1)/n of the variance, as if they were all there is;
    Student's t and that share say how far out the ends of a mean lie, which is taken over.
    """
    reach = stats.t.isf((1.0 - LEVEL) / 2.0, max(units - 1, 1)) * np.sqrt(units / max(units - 1, 1))
    beyond = float(stats.norm.sf(reach))
    low, high = np.quantile(drawn, [beyond, 1.0 - beyond]).tolist()
    return Share(low, middle, high)


def _counted(design: Design, came: Came, made: FloatArray) -> Contrast | None:
    """The difference of the counted shares, by the same covariance as frames."""
    ends = replace(came.known, outcome=made)
    try:
        if design.unit is Unit.YARD:
            two = (ends.arm == CHECK) | (ends.arm == design.primary)
            arm = (ends.arm[two] == design.primary).astype(np.int64)
            pair = Ends(made[two], arm, ends.block[two], ends.baseline[two])
            means = means_of_yards(pair, came.yard[~came.missing][two])
            return classical_contrast(fit(means), contrast_of(1, 2))
        fitted = fit(ends)
        return contrast(fitted, contrast_of(design.primary, fitted.arms))
    except BreadlineError:
        return None


def lines_in_shares(path: MakingGrade, lines: Lines) -> Lines:
    """Break-even and margin [frames] as shares, by the way that leads from frames to shares [share]."""
    none = path.share_of(path.check)
    needed = path.share_at(lines.break_even) - none
    matters = path.share_at(lines.margin) - none
    return Lines(needed, max(matters, LEAST_SHARE))


def _class(raw: Contrast, lines: Lines) -> AnswerClass:
    return class_of_interval(*raw.interval(LEVEL), lines)
