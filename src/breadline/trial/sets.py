"""Colonies drawn inside sets: how sharply the analysis will see, arms unequal and ends missing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.trial.size import Precision

IntArray = NDArray[np.int64]

CELLS = 20_000  # colonies times draws of baselines and missing ends that are looked at
FEWEST, MOST = 8, 100  # such draws
TINY = 1e-12  # what rounding leaves of a column that others explain [-]
FULL_LEVERAGE = 1e-9  # of 1 less leverage: a colony that alone decides its own value [-]


@dataclass(frozen=True, eq=False)
class Sets:
    """What is drawn in each block.

    Parameters
    ----------
    check, fed
        Colonies an arm in each block, shape (blocks,). [colonies]
    """

    check: IntArray
    fed: IntArray

    def __post_init__(self) -> None:
        if (
            not len(self.check)
            or self.check.shape != self.fed.shape
            or min(self.check.min(), self.fed.min()) < 0
        ):
            raise TrialError(
                "sets", say("blocks without colonies"), say("whole colonies of both arms in each block")
            )

    @property
    def sizes(self) -> IntArray:
        """Colonies in each block, shape (blocks,). [colonies]"""
        sizes: IntArray = self.check + self.fed
        return sizes

    @property
    def colonies(self) -> tuple[int, int]:
        """Check and fed colonies in all."""
        return int(self.check.sum()), int(self.fed.sum())


@dataclass(frozen=True)
class Noise:
    """What blurs a comparison of colonies.

    Parameters
    ----------
    sd
        Spread between colonies of one block, dead ones as 0. [unit of the outcome]
    baseline_r
        Correlation of the baseline with the outcome within blocks; 0 where none is graded. [-]
    missing
        Ends that nobody will know: sold, stolen, not found. [share]
    mean
        Of the check arm, where the spread of an arm grows with its mean; 0 where it does not.
        [unit of the outcome]
    """

    sd: float
    baseline_r: float
    missing: float = 0.0
    mean: float = 0.0

    def __post_init__(self) -> None:
        if not -1.0 < self.baseline_r < 1.0:
            raise TrialError("baseline correlation", f"{self.baseline_r:g}", say("above -1 and below 1"))
        if not 0.0 <= self.missing < 1.0:
            raise TrialError("missing ends", f"{self.missing:g}", say("a share from 0 to below 1"))

    def widened(self, benefit: float, units: tuple[int, int]) -> float:
        """How much wider the standard error is at a true ``benefit`` [unit of the outcome] than at none [-].

        ``units`` are check and fed colonies.
        """
        if not self.mean:
            return 1.0
        fed = max(1.0 + benefit / self.mean, 0.0) ** 2
        return float(np.sqrt((1.0 / units[0] + fed / units[1]) / (1.0 / units[0] + 1.0 / units[1])))


def sets_precision(sets: Sets, noise: Noise, rng: np.random.Generator) -> Precision:
    """Standard error and degrees of freedom that the analysis of covariance will have.

    Worked out for the design as it is drawn, and averaged over baselines that colonies may
    have and over which ends are missing: the standard error is that of least squares on arm,
    baseline and blocks, the degrees of freedom Bell and McCaffrey's of its HC2 variance.

    Parameters
    ----------
    sets
        What is drawn.
    noise
        What blurs it. [unit of the outcome]
    rng
        For the baselines and the missing ends.

    Errors
    ------
    TrialError
        If an arm would have one colony, or nothing is left to judge a spread by.

    Sources
    -------
    [bell_mccaffrey2002] and [imbens_kolesar2016] for the degrees of freedom.
    """
    information, df = _seen(sets, noise, rng)
    fine = df > 0
    if fine.mean() < 0.5:
        raise TrialError(
            "design",
            say("{unfed} unfed and {fed} fed colonies leave no spread to judge by", unfed=sets.colonies[0],
                fed=sets.colonies[1]),
            say("at least two colonies an arm beyond sets and baseline"),
            say("Add colonies, or draw in fewer sets"),
        )  # fmt: skip
    variance = noise.sd**2 * (1.0 - noise.baseline_r**2) / information[fine]
    return Precision(float(np.sqrt(variance.mean())), float(max(df[fine].mean(), 1.0)))


def _seen(sets: Sets, noise: Noise, rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """1 over the variance at a spread of 1, and degrees of freedom, shape (draws,).

    Degrees of freedom are 0 where nothing can be judged: an arm of one colony, or none left.
    """
    arm, starts, block = _rows(sets)
    alike = noise.missing == 0.0 and noise.baseline_r == 0.0
    draws = 1 if alike else int(np.clip(CELLS // len(arm), FEWEST, MOST))
    there = (rng.random((draws, len(arm))) >= noise.missing).astype(float)
    rows = Rows(there, starts, block)
    columns: list[FloatArray] = []
    if noise.baseline_r != 0.0:
        columns.append(rows.unit(rng.normal(size=there.shape) * there, columns)[0])
    unit, length = rows.unit(np.broadcast_to(arm, there.shape) * there, columns)
    return length**2, rows.bell_mccaffrey_df([*columns, unit], length)


def _rows(sets: Sets) -> tuple[FloatArray, IntArray, IntArray]:
    """Arm and block of each colony, shape (colonies,), blocks one after the other with their starts."""
    block = np.repeat(np.arange(len(sets.check)), sets.sizes)
    starts = np.cumsum(sets.sizes) - sets.sizes
    arm = (np.arange(len(block)) - starts[block] >= sets.check[block]).astype(float)
    return arm, starts.astype(np.int64), block.astype(np.int64)


@dataclass(frozen=True, eq=False)
class Rows:
    """Many draws of one design: which colonies are there, and the blocks of all.

    Parameters
    ----------
    there
        1 where the colony's end is known, 0 where it is missing, shape (draws, colonies). [-]
    starts
        First colony of each block, shape (blocks,).
    block
        Block of each colony, shape (colonies,).
    """

    there: FloatArray
    starts: IntArray
    block: IntArray

    def sums(self, values: FloatArray) -> FloatArray:
        """Sums of each block, shape (draws, blocks) [unit of the values]."""
        return np.asarray(np.add.reduceat(values, self.starts, axis=1))

    @property
    def sizes(self) -> FloatArray:
        """Colonies there in each block, at least 1, shape (draws, blocks) [colonies]."""
        return np.maximum(self.sums(self.there), 1.0)

    def unit(self, values: FloatArray, before: list[FloatArray]) -> tuple[FloatArray, FloatArray]:
        """A column, means of blocks and earlier columns taken out, of length 1, and the length it had.

        ``values`` has shape (draws, colonies), 0 where a colony is missing [any unit]; ``before`` holds
        columns of length 1 of that shape [-]; the length has shape (draws,) [unit of the values].
        """
        left = (values - (self.sums(values) / self.sizes)[:, self.block]) * self.there
        for column in before:
            left = left - np.sum(left * column, axis=1, keepdims=True) * column
        length = np.sqrt(np.sum(left**2, axis=1))
        return left / np.maximum(length, TINY)[:, None], length

    def leverage(self, columns: list[FloatArray]) -> FloatArray:
        """How far each colony decides its own fitted value, shape (draws, colonies) [-]."""
        return np.asarray(1.0 / self.sizes[:, self.block] + sum(column**2 for column in columns))

    def bell_mccaffrey_df(self, columns: list[FloatArray], length: FloatArray) -> FloatArray:
        """Degrees of freedom of the HC2 variance of the last column's coefficient, shape (draws,) [-]."""
        sizes = self.sizes
        leverage = self.leverage(columns)
        free = np.where(self.there > 0, 1.0 - leverage, 1.0)
        decides = (free < FULL_LEVERAGE) & (np.abs(columns[-1]) > FULL_LEVERAGE)
        w = columns[-1] ** 2 / np.maximum(free, FULL_LEVERAGE) * self.there
        bottom = np.sum(w**2 * (1.0 - 2.0 * leverage), axis=1)
        bottom = bottom + np.sum((self.sums(w) / sizes) ** 2, axis=1)
        for k, column in enumerate(columns):
            wz = w * column
            bottom = bottom + 2.0 * np.sum(self.sums(wz) ** 2 / sizes, axis=1)
            for other in columns[: k + 1]:
                twice = 1.0 if other is column else 2.0
                bottom = bottom + twice * np.sum(wz * other, axis=1) ** 2
        left = np.sum(self.there, axis=1) - np.sum(self.sums(self.there) > 0, axis=1) - len(columns)
        judged = (length > TINY) & ~decides.any(axis=1) & (left >= 1)
        return np.where(judged, 1.0 / np.where(judged, bottom, 1.0), 0.0)
