"""Linear mixed models with random intercepts and slopes, fitted by restricted maximum likelihood.

``reml(outcome, fixed, {"yard": yards, "yard:arm": yards_by_arm})`` is y = X b + random
intercepts of each grouping + residual, the groupings nested or crossed, balanced or not. A grouping
may have a slope: its levels' effects times a value of each row. Slopes that go along with the intercepts
of their levels are a third grouping whose value is 1 + x: its variance is the covariance of the two, and
those of intercept and slope are what is left of theirs beside it (1 − x where they go against each other).
Tests are Kenward and Roger's. A variance estimated as zero is named in ``at_boundary``;
what cannot be told apart at all is refused.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from breadline.errors import FitError
from breadline.language import say
from breadline.span import FloatArray
from breadline.verdict.grouping import Labels, Layout, Sums, cross_products, layout
from breadline.verdict.kenward_roger import Adjusted, Contrast, FTest, adjusted, contrasts, f_test
from breadline.verdict.likelihood import Profile, highest, profile

LANE_BYTES = 4e6  # outcomes fitted together, so that their products stay in the cache's reach
NO_RATIO = 1e-9  # a variance below this share of its level's error is none
WHOLE_RATIO = 1e10  # and one above this many times leaves no error to estimate


@dataclass(frozen=True)
class MixedFit:
    """A fitted model."""

    effects: FloatArray  # (p,) [unit of the outcome per unit of the column]
    covariance: FloatArray  # (p, p) not adjusted; its roots are the standard errors of lme4 [-]
    adjusted_covariance: FloatArray  # (p, p) Kenward-Roger's [-]
    variances: dict[str, float]  # of each grouping, and "residual" [unit of the outcome²]
    criterion: float  # −2 log of the likelihood that was asked for, as lme4 counts it [-]
    at_boundary: tuple[str, ...]  # groupings whose variance is estimated as zero
    settled: bool  # the search ended where no step lowers the criterion
    tested: Adjusted

    def contrast(self, along: Sequence[float] | FloatArray) -> Contrast:
        """One combination of the effects, weights ``along`` of shape (p,), with its t test. [-]"""
        weights = np.asarray(along, dtype=np.float64)
        estimate, se, df = (float(v[0]) for v in contrasts(self.tested, self.effects[None], weights))
        t = estimate / se
        return Contrast(estimate, se, df, t, float(2.0 * stats.t.sf(abs(t), df)))

    def effect(self, column: int) -> Contrast:
        """The effect of one column alone."""
        return self.contrast(np.eye(len(self.effects))[column])

    def f_test(self, rows: Sequence[Sequence[float]] | FloatArray) -> FTest:
        """Several combinations together, shape (q, p), against none. [-]"""
        return f_test(self.tested, self.effects, np.atleast_2d(np.asarray(rows, dtype=np.float64)))


@dataclass(frozen=True)
class ManyFits:
    """One combination of the effects in many outcomes of one design, shape (outcomes,) each."""

    estimate: FloatArray  # [unit of the outcome]
    se: FloatArray  # Kenward-Roger's [unit of the outcome]
    df: FloatArray  # [-]
    variances: dict[str, FloatArray]  # [unit of the outcome²]
    settled: FloatArray  # 1 where the search ended at an optimum [-]


@dataclass(frozen=True)
class _Basis:
    """Orthonormal columns, and each outcome's residuals from them scaled to unit variance. [-]"""

    q: FloatArray
    r: FloatArray
    plain: FloatArray  # (outcomes, p) least-squares effects on q
    scale: FloatArray  # (outcomes,) residual standard deviation
    left: FloatArray  # (outcomes, rows)


def reml(
    outcome: FloatArray, fixed: FloatArray, groups: Labels,
    slopes: Mapping[str, FloatArray] | None = None, restricted: bool = True,
) -> MixedFit:  # fmt: skip
    """Fit one outcome.

    Parameters
    ----------
    outcome
        Shape (rows,). [any unit]
    fixed
        Columns of the fixed effects, intercept included, shape (rows, p). [any unit]
    groups
        Name of each grouping to its labels, shape (rows,); may be empty.
    slopes
        Of groupings that have one, its values, shape (rows,); one grouping at least has none. [any unit]
    restricted
        Whether by restricted likelihood, which every answer goes by. By the full one the variances of few
        levels come out too small, and the tests are not Kenward and Roger's: for likelihoods to compare.

    Raises
    ------
    FitError
        Where a value is missing, columns or groupings cannot be told apart, nothing is left to estimate, or
        a slope is of no grouping.
    """
    y = np.asarray(outcome, dtype=np.float64)[None]
    _refuse_slopes(slopes or {}, groups, y.shape[1])
    basis, where = _prepared(y, fixed, groups, slopes)
    sums = replace(cross_products(where, basis.q, basis.left), restricted=restricted)
    _refuse_confounded(sums)
    settled, found, ratios = _fitted(sums)
    if len(sums.names) and float((ratios[0] * sums.typical_size).max()) > WHOLE_RATIO:
        raise FitError("mixed model", say("nothing varies within the levels"), say("some spread within them"))
    turned = _in_columns(adjusted(found, sums.columns), basis)
    ss = float(found.residual[0] * basis.scale[0] ** 2)
    held = ratios[0] <= 0.0
    return MixedFit(
        effects=_effects(found, basis)[0],
        covariance=turned.covariance[0],
        adjusted_covariance=turned.adjusted[0],
        variances={
            **{name: float(v) for name, v in _named(where, groups, ratios[0] * ss).items()},
            "residual": ss,
        },
        criterion=_criterion(found, basis, sums),
        at_boundary=tuple(name for name in groups if held[where.names.index(name)]),
        settled=bool(settled[0]),
        tested=turned,
    )


def reml_many(outcomes: FloatArray, fixed: FloatArray, groups: Labels, along: FloatArray) -> ManyFits:
    """Fit many outcomes of one design and test one combination of the effects in each.

    Parameters
    ----------
    outcomes
        One a line, shape (outcomes, rows). [any unit]
    fixed
        Columns of the fixed effects, shape (rows, p). [any unit]
    groups
        Name of each grouping to its labels, shape (rows,).
    along
        Weights of the combination, shape (p,). [-]
    """
    basis, where = _prepared(np.asarray(outcomes, dtype=np.float64), fixed, groups)
    one = cross_products(where, basis.q, basis.left[:1])
    _refuse_confounded(one)
    few = max(1, int(LANE_BYTES / (one.within.nbytes + one.sums.nbytes)))
    parts = [_some_fits(where, _some(basis, slice(i, i + few)), along) for i in range(0, len(outcomes), few)]
    estimate, se, df, settled, ss, ratios = (np.concatenate(column) for column in zip(*parts, strict=True))
    variances = _named(where, groups, ratios.T * ss)
    return ManyFits(estimate, se, df, {**variances, "residual": ss}, settled)


def _some_fits(where: Layout, basis: _Basis, along: FloatArray) -> tuple[FloatArray, ...]:
    sums = cross_products(where, basis.q, basis.left)
    settled, found, ratios = _fitted(sums)
    turned = _in_columns(adjusted(found, sums.columns), basis)
    told = contrasts(turned, _effects(found, basis), np.asarray(along, dtype=np.float64))
    return *told, settled, found.residual * basis.scale**2, ratios


def _prepared(
    y: FloatArray, fixed: FloatArray, groups: Labels, slopes: Mapping[str, FloatArray] | None = None
) -> tuple[_Basis, Layout]:
    x = np.asarray(fixed, dtype=np.float64)
    rows, p = x.shape
    if not (np.isfinite(y).all() and np.isfinite(x).all()):
        raise FitError(
            "mixed model", say("an outcome or a column has no number"), say("a number in every row")
        )
    for name, labels in groups.items():
        _refuse_unlabelled(name, np.asarray(labels), rows)
    if rows <= p + len(groups):
        raise FitError(
            "mixed model", say("{rows} rows for {p} columns", rows=rows, p=p), say("more rows than unknowns")
        )
    q, r = np.linalg.qr(x)
    weak = np.abs(np.diag(r)) <= 1e-10 * np.linalg.norm(x, axis=0)
    if weak.any():
        raise FitError(
            "mixed model", say("column {int} follows from the others before it", int=int(weak.argmax()) + 1)
        )
    plain = y @ q
    left = y - plain @ q.T
    left -= (left @ q) @ q.T  # once more: what rounding left along the columns
    scale = np.sqrt(np.einsum("or,or->o", left, left) / (rows - p))
    if (scale <= 1e-12 * np.abs(y).max(axis=1)).any():
        raise FitError(
            "mixed model", say("the columns explain every value"), say("some spread that they leave")
        )
    return _Basis(q, r, plain, scale, left / scale[:, None]), layout(groups, rows, slopes)


def _refuse_slopes(slopes: Mapping[str, FloatArray], groups: Labels, rows: int) -> None:
    for name, value in slopes.items():
        if name not in groups or np.shape(value) != (rows,) or not np.isfinite(value).all():
            raise FitError(
                f"slope {name}", say("it has no grouping, or not a number in every row"),
                say("a grouping of that name, and a number in every row"),
            )  # fmt: skip
    if slopes and set(groups) <= set(slopes):
        raise FitError(
            "slopes", say("every grouping has one"), say("intercepts of the levels beside their slopes")
        )


def _refuse_unlabelled(name: str, labels: NDArray[Any], rows: int) -> None:
    if labels.shape != (rows,):
        raise FitError(
            f"grouping {name}",
            say("{shape} labels for {rows} rows", shape=labels.shape, rows=rows),
            say("one label for every row"),
        )
    if any(label is None or label != label for label in labels.tolist()):
        raise FitError(f"grouping {name}", say("a row has no label"), say("one label for every row"))


def _some(basis: _Basis, chosen: slice) -> _Basis:
    return _Basis(basis.q, basis.r, basis.plain[chosen], basis.scale[chosen], basis.left[chosen])


def _refuse_confounded(sums: Sums) -> None:
    """Refuse groupings that the likelihood cannot tell from each other, the columns or the residual."""
    k = len(sums.names)
    if not k:
        return
    one = sums.of(np.array([0]))
    info = profile(one, np.full((1, k), 1.0) / one.typical_size).information[0]
    size = np.sqrt(np.maximum(np.diag(info), 0.0))
    flat = size[1:] <= 1e-7 * size[0]
    if flat.any():
        name = sums.names[int(flat.argmax())]
        raise FitError(
            f"grouping {name}",
            say("its levels follow from the columns"),
            say("levels that the columns leave free"),
        )
    least = np.linalg.eigvalsh(info / np.outer(size, size))[0]
    if least < 1e-9:
        raise FitError(
            "groupings " + ", ".join(sums.names),
            say("their variances cannot be told apart from each other or from the residual"),
            say("more than one row in some level, and no two groupings alike"),
        )


def _fitted(sums: Sums) -> tuple[FloatArray, Profile, FloatArray]:
    """Where the search settled (1 or 0), the profile there, the ratios."""
    optimum = highest(sums)
    of_level = optimum.ratios * sums.typical_size
    ratios = np.where(of_level <= NO_RATIO, 0.0, optimum.ratios)
    settled = np.where((of_level > WHOLE_RATIO).any(axis=1), 0.0, optimum.settled)
    return settled, profile(sums, ratios), ratios


def _effects(found: Profile, basis: _Basis) -> FloatArray:
    on_q = basis.plain + found.effects * basis.scale[:, None]
    return np.asarray(np.linalg.solve(basis.r, on_q.T).T)


def _in_columns(a: Adjusted, basis: _Basis) -> Adjusted:
    """From orthonormal columns back to the user's, and to the outcome's unit."""
    back, ss = np.linalg.inv(basis.r), basis.scale[:, None, None] ** 2
    return Adjusted(
        ss * (back @ a.covariance @ back.T),
        ss * (back @ a.adjusted @ back.T),
        ss[:, None] * (back @ a.reaches @ back.T),
        a.weights,
    )


def _named(where: Layout, groups: Labels, variances: FloatArray) -> dict[str, FloatArray]:
    """In the order in which the groupings were given."""
    return {name: variances[where.names.index(name)] for name in groups}


def _criterion(found: Profile, basis: _Basis, sums: Sums) -> float:
    free = sums.free
    columns = 2.0 * float(np.log(np.abs(np.diag(basis.r))).sum()) if sums.restricted else 0.0
    constant = free * (1.0 + math.log(2.0 * math.pi / free) + 2.0 * math.log(float(basis.scale[0])))
    return float(found.deviance[0]) + columns + constant
