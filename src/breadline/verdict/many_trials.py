"""The primary analysis of many trials of one design at once, ends missing in each as they may.

For forecasts and proofs: the same numbers as ``ancova.fit`` and ``ancova.contrast`` give one
trial at a time, for two arms.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.errors import TrialError
from breadline.span import FloatArray
from breadline.trial.sets import IntArray, Rows


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
                "blocks", "colonies do not stand in the order of their blocks", "sorted colonies"
            )
        if (
            self.outcome.ndim != 2
            or self.outcome.shape[1] != len(self.arm)
            or len(self.arm) != len(self.block)
        ):
            raise TrialError("colonies", "arm, block and outcomes differ in length", "one column a colony")


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
    """

    estimate: FloatArray
    se: FloatArray
    df: FloatArray


def many_contrasts(trials: ManyTrials) -> ManyContrasts:
    """Analysis of covariance of each trial with HC2 errors and Bell–McCaffrey degrees of freedom.

    Sources
    -------
    As ``ancova.contrast``.
    """
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
    judged = df > 0
    squares = np.sum(arm**2 * left**2 / np.maximum(free, 1e-9), axis=1)
    per = np.where(judged, length, np.nan)
    return ManyContrasts(along / per, np.sqrt(squares) / per, df)
