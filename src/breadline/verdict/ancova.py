"""Analysis of covariance: outcome on arm, baseline and the blocks drawn in.

Blocks are taken out by their means, so that thousands of sets cost no more than their
colonies; what is left is one small regression. Standard errors are HC2, which do not ask
for equal spread in both arms, with the degrees of freedom of Satterthwaite as Bell and
McCaffrey put them to least squares.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats
from scipy.linalg import solve_triangular

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends import Ends, IntArray

NOTHING = 1e-9  # of a column's own length: what rounding leaves of one that others explain [share]
FULL_LEVERAGE = 1e-9  # below this, a colony alone decides its own fitted value [-]
NO_SPREAD = 1e-12  # of the outcome's own size: what rounding leaves where every residual is 0 [share]


@dataclass(frozen=True, eq=False)
class Fit:
    """Least squares of the outcome on blocks, baseline and arms, arms last.

    Parameters
    ----------
    basis
        Orthonormal columns of baseline and arms, blocks taken out, shape (colonies, columns). [-]
    triangle
        Takes coefficients to ``basis``, shape (columns, columns). [unit of each measure]
    coefficients
        Of the baseline measures kept, then of each fed arm less the check group.
        [unit of the outcome per unit of the column]
    fitted_by
        Share of the outcome's length on each column of ``basis``. [unit of the outcome]
    residuals
        Outcome less fitted, shape (colonies,). [unit of the outcome]
    block, block_sizes
        Block of each colony from 0 up, and colonies in each.
    arms
        How many arms, the check group counted.
    left_out
        Baseline measures that blocks and earlier measures explain, by their place.
    """

    basis: FloatArray
    triangle: FloatArray
    coefficients: FloatArray
    fitted_by: FloatArray
    residuals: FloatArray
    block: IntArray
    block_sizes: IntArray
    arms: int
    left_out: tuple[int, ...]

    @property
    def df_residual(self) -> int:
        """Colonies less everything that was fitted."""
        return len(self.residuals) - len(self.block_sizes) - int(self.basis.shape[1])

    @property
    def mean_square(self) -> float:
        """Residual mean square [(unit of the outcome)²]."""
        return float(self.residuals @ self.residuals) / self.df_residual

    @property
    def leverage(self) -> FloatArray:
        """How far each colony decides its own fitted value, shape (colonies,) [-]."""
        leverage: FloatArray = 1.0 / self.block_sizes[self.block] + np.sum(self.basis**2, axis=1)
        return leverage

    def weights(self, arm_weights: FloatArray) -> FloatArray:
        """Weight of each colony's outcome in a contrast of arms, shape (colonies,) [-].

        ``arm_weights`` holds one number an arm, the check group first, sum 0, shape (arms,) [-].
        """
        if len(arm_weights) != self.arms or abs(float(np.sum(arm_weights))) > NOTHING:
            raise TrialError(
                "contrast",
                say("{list} is no contrast of {arms} arms", list=list(arm_weights), arms=self.arms),
                say("sum 0"),
            )
        asked = np.zeros(self.basis.shape[1])
        asked[-(self.arms - 1) :] = arm_weights[1:]
        weights: FloatArray = self.basis @ solve_triangular(self.triangle, asked, trans="T")
        return weights


def fit(ends: Ends) -> Fit:
    """Least squares of the outcome on arm, baseline and blocks.

    Errors
    ------
    TrialError
        If no block holds colonies of the arms compared (arms confounded with blocks), or
        fewer than one degree of freedom is left.
    """
    block, sizes = _blocks(ends.block)
    columns, left_out = _columns(ends, block, sizes)
    basis, triangle = np.linalg.qr(columns)
    if len(ends.outcome) - len(sizes) - basis.shape[1] < 1:
        raise TrialError(
            "colonies",
            say(
                "{outcome} colonies in {sizes} blocks leave nothing to judge the spread by",
                outcome=len(ends.outcome),
                sizes=len(sizes),
            ),
            say("at least two colonies an arm, and more colonies than blocks, arms and baseline measures"),
        )
    outcome = within_blocks(ends.outcome, block, sizes)
    fitted_by = basis.T @ outcome
    residuals = within_blocks(outcome - basis @ fitted_by, block, sizes)
    residuals = residuals - basis @ (basis.T @ residuals)  # once more: what rounding left
    coefficients = solve_triangular(triangle, fitted_by)
    return Fit(basis, triangle, coefficients, fitted_by, residuals, block, sizes, ends.arms, tuple(left_out))


def contrast(fitted: Fit, arm_weights: FloatArray) -> Contrast:
    """A contrast of arms with its HC2 standard error and Bell–McCaffrey degrees of freedom.

    Parameters
    ----------
    fitted
        The fit.
    arm_weights
        One number an arm, the check group first, sum 0, shape (arms,). [-]

    Errors
    ------
    TrialError
        If an arm's spread cannot be known (one colony an arm), or all residuals are 0.

    Sources
    -------
    [mackinnon_white1985] for HC2; [bell_mccaffrey2002] and [imbens_kolesar2016] for the
    degrees of freedom.
    """
    weights = fitted.weights(arm_weights)
    free = _free(fitted, weights)
    variance = float(np.sum(weights**2 * fitted.residuals**2 / free))
    _refuse_no_spread(fitted, variance)
    estimate = float(arm_weights[1:] @ fitted.coefficients[-(fitted.arms - 1) :])
    return Contrast(estimate, float(np.sqrt(variance)), _bell_mccaffrey_df(fitted, weights, free))


def classical_contrast(fitted: Fit, arm_weights: FloatArray) -> Contrast:
    """The same contrast with one spread for all arms and the residual degrees of freedom.

    ``arm_weights`` holds one number an arm, the check group first, sum 0, shape (arms,) [-].
    """
    weights = fitted.weights(arm_weights)
    variance = fitted.mean_square * float(weights @ weights)
    _refuse_no_spread(fitted, variance)
    estimate = float(arm_weights[1:] @ fitted.coefficients[-(fitted.arms - 1) :])
    return Contrast(estimate, float(np.sqrt(variance)), float(fitted.df_residual))


def covariance(fitted: Fit, arm_weights: FloatArray) -> FloatArray:
    """HC2 covariance of several contrasts, shape (contrasts, contrasts) [(unit of the outcome)²].

    ``arm_weights`` has one row a contrast, shape (contrasts, arms) [-].
    """
    weights = np.array([fitted.weights(row) for row in arm_weights])
    free = np.min([_free(fitted, row) for row in weights], axis=0)
    scaled = weights * fitted.residuals / np.sqrt(free)
    spread: FloatArray = scaled @ scaled.T
    return spread


@dataclass(frozen=True)
class FTest:
    """Classical F test that all arms are alike, baseline and blocks allowed for.

    Sums of squares are in [(unit of the outcome)²]; F, p and degrees of freedom are pure numbers [-].
    """

    between: float  # sum of squares of arms
    within: float  # residual sum of squares
    df_between: int
    df_within: int

    @property
    def f(self) -> float:
        """Mean square of arms over residual mean square [-]."""
        return self.between / self.df_between / (self.within / self.df_within)

    @property
    def p(self) -> float:
        """Chance of an F at least as large were all arms alike [share]."""
        return float(stats.f.sf(self.f, self.df_between, self.df_within))


def f_test(fitted: Fit) -> FTest:
    """The F test of arms after blocks and baseline."""
    more = fitted.arms - 1
    between = float(np.sum(fitted.fitted_by[-more:] ** 2))
    within = float(fitted.residuals @ fitted.residuals)
    return FTest(between, within, more, fitted.df_residual)


def within_blocks(values: FloatArray, block: IntArray, sizes: IntArray) -> FloatArray:
    """Values less the mean of their block, rows kept, shape as given [unit of the values].

    Two passes: the second takes out what rounding left of the first, which is what keeps
    the last digits of values that share their leading ones.
    """
    for _ in range(2):
        values = values - _block_sums(values, block, len(sizes))[block] / _down(sizes[block], values)
    return values


def _down(sizes: IntArray, values: FloatArray) -> NDArray[np.int64]:
    return sizes.reshape((-1,) + (1,) * (values.ndim - 1))


def _block_sums(values: FloatArray, block: IntArray, blocks: int) -> FloatArray:
    sums = np.zeros((blocks, *values.shape[1:]))
    np.add.at(sums, block, values)
    return sums


def _blocks(labels: IntArray) -> tuple[IntArray, IntArray]:
    _, block, sizes = np.unique(labels, return_inverse=True, return_counts=True)
    return block.astype(np.int64), sizes.astype(np.int64)


def _columns(ends: Ends, block: IntArray, sizes: IntArray) -> tuple[FloatArray, list[int]]:
    """Baseline measures and arms, blocks taken out, baseline measures that say nothing left out."""
    kept: list[FloatArray] = []
    left_out = []
    for place, measure in enumerate(ends.baseline.T):
        column = within_blocks(measure, block, sizes)
        if _left(column, kept) <= NOTHING * max(float(np.linalg.norm(measure)), 1e-300):
            left_out.append(place)
        else:
            kept.append(column)
    for arm in range(1, ends.arms):
        column = within_blocks((ends.arm == arm).astype(np.float64), block, sizes)
        if _left(column, kept) <= NOTHING * np.sqrt(len(column)):
            raise TrialError(
                "arms",
                say("the arms cannot be told from the blocks or the baseline"),
                say("blocks that hold colonies of both arms"),
                say("If whole yards were drawn, compare the yards"),
            )
        kept.append(column)
    return np.column_stack(kept), left_out


def _left(column: FloatArray, before: list[FloatArray]) -> float:
    """Length of what the columns before leave of a column."""
    if not before:
        return float(np.linalg.norm(column))
    basis, _ = np.linalg.qr(np.column_stack(before))
    return float(np.linalg.norm(column - basis @ (basis.T @ column)))


def _free(fitted: Fit, weights: FloatArray) -> FloatArray:
    """1 less leverage, shape (colonies,); infinite where a colony without weight decides its own value."""
    free = 1.0 - fitted.leverage
    alone = free < FULL_LEVERAGE
    if np.any(alone & (np.abs(weights) > NOTHING)):
        raise TrialError(
            "arms",
            say("one colony stands alone for its arm"),
            say("at least two colonies an arm beside each other in their blocks"),
            say("No spread can be judged from one colony"),
        )
    return np.where(alone, np.inf, free)


def _bell_mccaffrey_df(fitted: Fit, weights: FloatArray, free: FloatArray) -> float:
    """Satterthwaite's degrees of freedom of an HC2 variance under equal spread.

    With M the residual maker and w = weights²/free, they are (tr WM)² / tr (WMWM); M is
    never written out: I less the means of blocks less the basis times its transpose.
    """
    w = weights**2 / free
    z = fitted.basis
    w_sums = _block_sums(w, fitted.block, len(fitted.block_sizes))
    wz_sums = _block_sums(w[:, None] * z, fitted.block, len(fitted.block_sizes))
    own = float(np.sum(w**2 * (1.0 - 2.0 * fitted.leverage)))
    by_blocks = float(np.sum((w_sums / fitted.block_sizes) ** 2))
    both = float(np.sum(np.sum(wz_sums**2, axis=1) / fitted.block_sizes))
    by_basis = float(np.sum((z.T @ (w[:, None] * z)) ** 2))
    return float(np.sum(weights**2)) ** 2 / (own + by_blocks + 2.0 * both + by_basis)


def _refuse_no_spread(fitted: Fit, variance: float) -> None:
    size = float(np.max(np.abs(fitted.fitted_by), initial=0.0)) + float(np.max(np.abs(fitted.residuals)))
    if variance <= (NO_SPREAD * size) ** 2:
        raise TrialError(
            "outcome",
            say("the colonies of each arm all came to the same"),
            say("ends that differ between colonies"),
            say("Where all are alike nothing can be said about chance"),
        )
