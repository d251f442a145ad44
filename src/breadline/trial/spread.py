"""How much colonies differ: from the user's own grading where there is enough of it, else from the shelf."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from breadline.errors import TrialError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.span import FloatArray
from breadline.trial.design import Outcome

IntArray = NDArray[np.int64]

ENOUGH_COLONIES = 10  # beyond one a yard, for a spread or a correlation of one's own
ENOUGH_YARDS = 5  # for an intraclass correlation of one's own; from fewer it says next to nothing
OUTER = (0.95, 0.05)  # of the chi-square of a spread of one's own: the small end, the large one [share]
ALIKE = 1e-9  # what rounding leaves of colonies that are all alike [log]
LOG_SD, HONEY_LOG_SD = "colony.log_sd", "check_group.honey_log_sd"
STAYS, ICC, READER = "plan.strength_lasts", "check_group.yard_icc", "reader.bees_log_sd"


@dataclass(frozen=True, eq=False)
class Graded:
    """Colonies that the user graded, one row each, fed or not as long as all of a yard alike.

    Parameters
    ----------
    yard
        Any whole number, shape (colonies,).
    outcome
        What was graded last, shape (colonies,); not a number or 0 is left out.
        [unit of the outcome]
    before
        What was graded some weeks earlier, shape (colonies,); not a number where it was
        not. [unit of the outcome]
    """

    yard: IntArray
    outcome: FloatArray
    before: FloatArray

    def __post_init__(self) -> None:
        if not len(self.yard) == len(self.outcome) == len(self.before):
            raise TrialError(
                "graded colonies", say("yard, outcome and baseline differ in length"), say("one row a colony")
            )
        if np.any(self.outcome < 0) or np.any(self.before < 0):
            raise TrialError(
                "graded colonies",
                say("a grading is below 0"),
                say("0 or more"),
                say("Leave out what was not graded"),
            )


@dataclass(frozen=True)
class ColonySpread:
    """What a comparison is planned with.

    Parameters
    ----------
    log_sd
        Between colonies of one yard. [log]
    baseline_r
        Correlation of an earlier grading with the outcome, within a yard. [-]
    icc
        Share of the variance that lies between yards. [share]
    reader_log_sd
        One grader's error, part of ``log_sd``. [log]
    told_by
        What each of the first three rests on, in words.
    log_sd_ends
        How small and how large ``log_sd`` may well be. [log]
    """

    log_sd: float
    baseline_r: float
    icc: float
    reader_log_sd: float
    told_by: tuple[str, str, str]
    log_sd_ends: tuple[float, float] = (0.0, 0.0)

    @property
    def reader_share(self) -> float:
        """Part of the variance between colonies that is one grader's error [share]."""
        return min(1.0, (self.reader_log_sd / self.log_sd) ** 2)


def spread_used(graded: Graded | None, outcome: Outcome, reader: Reader) -> ColonySpread:
    """Each of spread, correlation and intraclass correlation from one's own grading, else from the shelf.

    Parameters
    ----------
    graded
        The user's own colonies; None where there are none.
    outcome
        What is graded: honey differs more than bees.
    reader
        ``colony.log_sd`` or ``check_group.honey_log_sd``, ``plan.strength_lasts``,
        ``check_group.yard_icc``, ``reader.bees_log_sd``.
    """
    shelf = HONEY_LOG_SD if outcome is Outcome.HONEY else LOG_SD
    own = (None, None, None) if graded is None else own_of(graded)
    found, told = [], []
    for value, key in zip(own, (shelf, STAYS, ICC), strict=True):
        found.append(reader.typical(key) if value is None else value[0])
        told.append(_from_shelf(reader, key) if value is None else value[1])
    ends = _shelf_ends(reader, shelf) if graded is None or own[0] is None else _own_ends(graded, found[0])
    return ColonySpread(
        found[0], found[1], found[2], reader.typical(READER), (told[0], told[1], told[2]), ends
    )


def _shelf_ends(reader: Reader, key: str) -> tuple[float, float]:
    span = reader.figure(key).span
    return span.low, span.high


def _own_ends(graded: Graded, log_sd: float) -> tuple[float, float]:
    """Nine times in ten a spread of one's own lies within these, by chi-square [log]."""
    fine = np.isfinite(graded.outcome) & (graded.outcome > 0)
    df = int(fine.sum()) - len(np.unique(graded.yard[fine]))
    low, high = (log_sd * float(np.sqrt(df / stats.chi2.ppf(at, df))) for at in OUTER)
    return low, high


Own = tuple[float, str] | None


def own_of(graded: Graded) -> tuple[Own, Own, Own]:
    """Log spread, baseline correlation and intraclass correlation with what each rests on, or None.

    A spread or a correlation wants ten colonies beyond one a yard, an intraclass correlation five yards.
    """
    fine = np.isfinite(graded.outcome) & (graded.outcome > 0)
    yard, logs = graded.yard[fine], np.log(graded.outcome[fine])
    enough = len(logs) - len(np.unique(yard)) >= ENOUGH_COLONIES
    log_sd: Own = None
    icc: Own = None
    if enough and (spread := within_sd(logs, yard)) > ALIKE:
        log_sd = spread, say("the {n} colonies you graded", n=len(logs))
        if len(np.unique(yard)) >= ENOUGH_YARDS:
            icc = intraclass(logs, yard), say("the {n} yards you graded", n=len(np.unique(yard)))
    return log_sd, _own_r(graded), icc


def _own_r(graded: Graded) -> Own:
    both = np.isfinite(graded.outcome) & np.isfinite(graded.before)
    yard, after, before = graded.yard[both], graded.outcome[both], graded.before[both]
    if len(yard) - len(np.unique(yard)) < ENOUGH_COLONIES:
        return None
    after, before = _within(after, yard), _within(before, yard)
    size = float(np.sqrt((after @ after) * (before @ before)))
    if size <= ALIKE:
        return None
    return max(0.0, min(float(after @ before) / size, 0.95)), say(
        "the {n} colonies you graded twice", n=len(yard)
    )


def within_sd(values: FloatArray, group: IntArray) -> float:
    """Pooled standard deviation within groups, both of shape (n,) [unit of the values]."""
    left = _within(values, group)
    return float(np.sqrt(left @ left / (len(values) - len(np.unique(group)))))


def intraclass(values: FloatArray, group: IntArray) -> float:
    """Share of the variance that lies between groups, by analysis of variance, not below 0 [share].

    ``values`` [unit of the values] and ``group`` have shape (n,).
    """
    _, place, sizes = np.unique(group, return_inverse=True, return_counts=True)
    groups, n = len(sizes), len(values)
    within = within_sd(values, group) ** 2
    means = np.bincount(place, weights=values) / sizes
    between = float(np.sum(sizes * (means - values.mean()) ** 2)) / (groups - 1)
    usual = (n - float(np.sum(sizes**2)) / n) / (groups - 1)
    variance = max(0.0, (between - within) / usual)
    return variance / (variance + within) if variance + within > 0 else 0.0


def _within(values: FloatArray, group: IntArray) -> FloatArray:
    _, place, sizes = np.unique(group, return_inverse=True, return_counts=True)
    left: FloatArray = values - (np.bincount(place, weights=values) / sizes)[place]
    return left


def _from_shelf(reader: Reader, key: str) -> str:
    figure = reader.figure(key)
    if figure.edited:
        return say("your own figure")
    return say(
        "the shelf ({low:g} to {high:g}; {read})",
        low=figure.span.low, high=figure.span.high, read=figure.read_words,
    )  # fmt: skip
