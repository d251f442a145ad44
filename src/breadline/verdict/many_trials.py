"""The primary analysis of many trials of one design at once, ends missing in each as they may.

For forecasts and proofs: the same numbers as ``ancova.fit`` and ``ancova.contrast`` give one
trial at a time, for two arms.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.trial.sets import IntArray, Rows
from breadline.verdict.many_quantiles import t_quantiles

NOTHING = 1e-9  # of 1 less leverage, and of a column's square: what rounding leaves [-]


@dataclass(frozen=True, eq=False)
class ManyTrials:
    """Trials of one design, colonies in the order of their blocks.

    Parameters
    ----------
    arm, block
        0 for the check group and 1 for the fed arm; the block, rising; shape (colonies,).
    outcome
        What was graded, shape (trials, colonies); not a number where the end is missing.
        [unit of the outcome]
    baseline
        What was graded before, shape (trials, colonies); None where nothing was.
        [unit of the measure]
    """

    arm: IntArray
    block: IntArray
    outcome: FloatArray
    baseline: FloatArray | None = None

    def __post_init__(self) -> None:
        if np.any(np.diff(self.block) < 0):
            raise TrialError(
                "blocks", say("colonies do not stand in the order of their blocks"), say("sorted colonies")
            )
        if (
            self.outcome.ndim != 2
            or self.outcome.shape[1] != len(self.arm)
            or len(self.arm) != len(self.block)
        ):
            raise TrialError(
                "colonies", say("arm, block and outcomes differ in length"), say("one column a colony")
            )


@dataclass(frozen=True, eq=False)
class ManyContrasts:
    """Fed less check of each trial, shape (trials,).

    Parameters
    ----------
    estimate, se
        Difference and its HC2 standard error; not a number where nothing can be judged.
        [unit of the outcome]
    df
        Bell and McCaffrey's degrees of freedom, 0 where nothing can be judged. [-]
    classical_se, classical_df
        Standard error under one spread for both arms [unit of the outcome], and residual
        degrees of freedom [-].
    """

    estimate: FloatArray
    se: FloatArray
    df: FloatArray
    classical_se: FloatArray
    classical_df: FloatArray

    def interval(self, level: float) -> tuple[FloatArray, FloatArray]:
        """Ends of each trial's interval at a ``level`` [share], shape (trials,) [unit of the outcome]."""
        reach = t_quantiles((1.0 + level) / 2.0, np.maximum(self.df, 1.0)) * self.se
        return self.estimate - reach, self.estimate + reach


def many_contrasts(trials: ManyTrials) -> ManyContrasts:
    """Analysis of covariance of each trial with HC2 errors and Bell–McCaffrey degrees of freedom.

    Compiled where numba is, many trials side by side; it is quickest where numbers of one
    colony lie next to one another (``outcome`` is the transpose of an array of colonies by trials).

    Sources
    -------
    As ``ancova.contrast``.
    """
    return quickest()(trials)


@cache
def quickest() -> Callable[[ManyTrials], ManyContrasts]:
    """The compiled way where numba is; it is brought in only here, since it is slow to import."""
    try:
        from breadline.verdict import many_trials_kernel
    except ImportError:
        return by_arrays

    def compiled(trials: ManyTrials) -> ManyContrasts:
        return _side_by_side(trials, many_trials_kernel)

    return compiled


def _side_by_side(trials: ManyTrials, kernel: Any) -> ManyContrasts:
    many, wide = len(trials.outcome), int(kernel.WIDE)
    starts = np.flatnonzero(np.diff(trials.block, prepend=trials.block[:1] - 1))
    ends = np.append(starts, len(trials.block)).astype(np.int64)
    outcome = _laid_out(trials.outcome, wide)
    told = trials.baseline is not None
    baseline = outcome if trials.baseline is None else _laid_out(trials.baseline, wide)
    arm = trials.arm
    if not _arms_together(arm, trials.block):
        order = np.lexsort((arm, trials.block))
        arm, outcome = arm[order], outcome[order]
        baseline = baseline[order] if told else outcome
    found = np.empty((5, outcome.shape[1]))
    room = np.empty(len(arm) * kernel.CELLS), np.empty((len(starts), kernel.BLOCK)), np.empty(kernel.SUMS)
    kernel.EVERY(arm.astype(np.float64), ends, outcome, baseline, float(told), NOTHING, *room, found)
    return ManyContrasts(*found[:, :many])


def _arms_together(arm: IntArray, block: IntArray) -> bool:
    """Whether each block has its check colonies first."""
    return not np.any((np.diff(arm) < 0) & (np.diff(block) == 0))


def _laid_out(values: FloatArray, wide: int) -> FloatArray:
    """Colonies by trials, at least ``wide`` of these; always so, or it would be compiled for each way."""
    few = max(0, wide - len(values))
    turned = np.pad(values.T, ((0, 0), (0, few)), constant_values=np.nan) if few else values.T
    return np.require(turned, np.float64, ["C"])


def by_arrays(trials: ManyTrials) -> ManyContrasts:
    """The reference, by arrays of all trials at once."""
    there = np.isfinite(trials.outcome)
    _, starts = np.unique(trials.block, return_index=True)
    block = np.repeat(np.arange(len(starts)), np.diff(np.append(starts, len(trials.block))))
    rows = Rows(there.astype(float), starts.astype(np.int64), block.astype(np.int64))
    columns: list[FloatArray] = []
    if trials.baseline is not None:
        columns.append(rows.unit(np.where(there, trials.baseline, 0.0), columns)[0])
    arm, length = rows.unit(trials.arm * rows.there, columns)
    y = np.where(there, trials.outcome, 0.0)
    left = (y - (rows.sums(y) / rows.sizes)[:, block]) * rows.there
    for column in columns:
        left = left - np.sum(left * column, axis=1, keepdims=True) * column
    along = np.sum(left * arm, axis=1)
    left = left - along[:, None] * arm
    df = rows.bell_mccaffrey_df([*columns, arm], length)
    free = np.where(rows.there > 0, 1.0 - rows.leverage([*columns, arm]), 1.0)
    squares = np.sum(arm**2 * left**2 / np.maximum(free, NOTHING), axis=1)
    per = np.where(df > 0, length, np.nan)
    known = np.sum(rows.there, axis=1) - np.sum(rows.sums(rows.there) > 0, axis=1) - len(columns) - 1.0
    pooled = np.sqrt(np.sum(left**2, axis=1) / np.maximum(known, 1.0)) / per
    return ManyContrasts(along / per, np.sqrt(squares) / per, df, pooled, np.where(df > 0, known, 0.0))
