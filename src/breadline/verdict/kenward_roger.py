"""The covariance of fixed effects adjusted for estimated variances, and tests of one or several columns.

Kenward and Roger's first adjustment, for a V that is linear in its variances (no second
derivative is left over). At a variance of zero the component keeps its place, so that a
boundary fit does not gain degrees of freedom from it.

Sources
-------
[kenward1997] for the adjusted covariance, the scale of F and the degrees of freedom;
[halekoh2014] for the form that stays finite in exact designs with few degrees of freedom.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats

from breadline.span import FloatArray
from breadline.verdict.likelihood import Profile


@dataclass(frozen=True)
class Adjusted:
    """What tests need, for each outcome; in units of the columns. Pure numbers. [-]"""

    covariance: FloatArray  # (outcomes, p, p) as estimated
    adjusted: FloatArray  # (outcomes, p, p) Kenward-Roger's
    reaches: FloatArray  # (outcomes, 1 + K, p, p) covariance · derivative of its inverse · covariance
    weights: FloatArray  # (outcomes, 1 + K, 1 + K) covariance of the variances


@dataclass(frozen=True)
class Contrast:
    """One linear combination of the fixed effects, with its t test against none, two-sided."""

    estimate: float  # [unit of the outcome]
    se: float  # Kenward-Roger's [unit of the outcome]
    df: float  # [-]
    t: float  # [-]
    p: float  # [-]

    def interval(self, level: float) -> tuple[float, float]:
        """Ends of the interval that covers at this ``level`` [share], in the outcome's unit [-]."""
        reach = float(stats.t.ppf(0.5 + level / 2.0, self.df)) * self.se
        return self.estimate - reach, self.estimate + reach


@dataclass(frozen=True)
class FTest:
    """Several linear combinations together against none. Pure numbers. [-]"""

    f: float  # scaled
    scale: float
    numerator_df: int
    df: float
    p: float


def adjusted(found: Profile, columns: int) -> Adjusted:
    """The adjusted covariance and its ingredients, for the first ``columns`` of the products."""
    p, phi, sigma2 = columns, found.covariance, found.residual[:, None, None]
    s, q = found.at.first[..., :p, :p], found.at.second[..., :p, :p]
    weights = 2.0 * _inverse(found.information)
    reach = phi[:, None] @ s
    bent = q - np.einsum("oiab,ojbc->oijac", s, reach)
    middle = np.einsum("oij,oijab->oab", weights, bent)
    middle = 0.5 * (middle + np.swapaxes(middle, 1, 2))
    return Adjusted(
        sigma2 * phi,
        sigma2 * (phi + 2.0 * phi @ middle @ phi),
        sigma2[:, None] * reach @ phi[:, None],
        weights,
    )


def _inverse(information: FloatArray) -> FloatArray:
    """Inverse of the variances' information after bringing it to a unit diagonal."""
    size = np.sqrt(np.einsum("oii->oi", information))
    both = size[:, :, None] * size[:, None, :]
    return np.asarray(np.linalg.pinv(information / both, hermitian=True, rcond=1e-14) / both)


def contrasts(
    a: Adjusted, effects: FloatArray, along: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Estimate, standard error and degrees of freedom along one combination, for each outcome.

    Parameters
    ----------
    a
        Adjusted covariances.
    effects
        Fixed effects, shape (outcomes, p). [unit of the outcome]
    along
        Weights of the combination, shape (p,). [-]
    """
    plain = np.einsum("a,oab,b->o", along, a.covariance, along)
    bent = np.einsum("a,oiab,b->oi", along, a.reaches, along) / plain[:, None]
    spread = np.einsum("oi,oij,oj->o", bent, a.weights, bent)
    se = np.sqrt(np.einsum("a,oab,b->o", along, a.adjusted, along))
    return effects @ along, se, 2.0 / spread


def f_test(a: Adjusted, effects: FloatArray, rows: FloatArray) -> FTest:
    """Kenward-Roger's F test that all combinations in ``rows`` are none, for the first outcome.

    Parameters
    ----------
    a
        Adjusted covariances.
    effects
        Fixed effects, shape (p,). [unit of the outcome]
    rows
        Independent combinations, shape (q, p). [-]
    """
    q = len(rows)
    inverse = np.linalg.inv(rows @ a.covariance[0] @ rows.T)
    turned = np.einsum("qr,ra,iab,sb->iqs", inverse, rows, a.reaches[0], rows)
    alone = np.einsum("iqq->i", turned)
    a1 = float(alone @ a.weights[0] @ alone)
    a2 = float(np.einsum("ij,iqs,jsq->", a.weights[0], turned, turned))
    df, scale = _df_and_scale(q, a1, a2)
    told = rows @ effects
    f = scale * float(told @ np.linalg.solve(rows @ a.adjusted[0] @ rows.T, told)) / q
    return FTest(f, scale, q, df, float(stats.f.sf(f, q, df)) if df > 0 else float("nan"))


def _df_and_scale(q: int, a1: float, a2: float) -> tuple[float, float]:
    if q == 1:
        return 2.0 / a2, 1.0
    b = (a1 + 6.0 * a2) / (2.0 * q)
    g = ((q + 1.0) * a1 - (q + 4.0) * a2) / ((q + 2.0) * a2)
    below = 3.0 * q + 2.0 * (1.0 - g)
    v0, v1, v2 = 1.0 + g / below * b, 1.0 - (q - g) / below * b, 1.0 - (q + 2.0 - g) / below * b
    v0 = 0.0 if abs(v0) < 1e-10 else v0
    mean = 1.0 - a2 / q
    ratio = 1.0 if abs(mean) < 1e-10 and abs(v1) < 1e-10 else mean / v1
    # rho of the paper times q; v2 = 0 is df = 4 exactly
    df = 4.0 if abs(v2) < 1e-10 else 4.0 + (q + 2.0) / (ratio**2 * v0 / v2 - 1.0)
    return df, 1.0 if abs(df - 2.0) < 1e-2 else df * mean / (df - 2.0)
