"""Slopes and the full likelihood against whole matrices. All numbers invented, seeded."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.errors import FitError
from breadline.verdict.reml import reml

YARDS, ROWS = 9, 70


def made(seed: int):
    """Yards of unequal size, read on days of their own, each with its own level and rise."""
    rng = np.random.default_rng(seed)
    yard = rng.integers(0, YARDS, ROWS)
    day = rng.uniform(0.0, 4.0, ROWS)
    level, rise = rng.normal(0.0, 1.0, YARDS), rng.normal(0.0, 0.6, YARDS)
    y = 5.0 + 0.4 * day + level[yard] + (rise + 0.3 * level)[yard] * day + rng.normal(0.0, 0.8, ROWS)
    return y, np.column_stack([np.ones(ROWS), day]), yard, day


def whole(y, x, yard, values, variances, restricted):
    """−2 log likelihood with every matrix written out."""
    z = (yard[:, None] == np.arange(YARDS)).astype(float)
    parts = [np.eye(ROWS), *((z * v[:, None]) @ (z * v[:, None]).T for v in values)]
    v = sum(s * g for s, g in zip(variances, parts, strict=True))
    inverse = np.linalg.inv(v)
    phi = np.linalg.inv(x.T @ inverse @ x)
    left = y - x @ phi @ x.T @ inverse @ y
    found = np.linalg.slogdet(v)[1] + left @ inverse @ left + ROWS * np.log(2.0 * np.pi)
    if restricted:
        found += -np.linalg.slogdet(phi)[1] - x.shape[1] * np.log(2.0 * np.pi)
    return found, np.sqrt(np.diag(phi))


@pytest.mark.parametrize("restricted", [True, False])
@pytest.mark.parametrize("seed", range(6))
def test_a_fit_with_slopes_lies_at_the_foot_of_the_likelihood_as_it_is_written_out(seed, restricted):
    y, x, yard, day = made(seed)
    slopes = {"rise": day, "both": 1.0 + day}
    fit = reml(y, x, {"yard": yard, "rise": yard, "both": yard}, slopes, restricted)
    values = [np.ones(ROWS), day, 1.0 + day]
    at = np.array([fit.variances[name] for name in ("residual", "yard", "rise", "both")])
    here, se = whole(y, x, yard, values, at, restricted)
    assert fit.settled
    assert fit.criterion == pytest.approx(here, abs=1e-8)
    assert np.sqrt(np.diag(fit.covariance)) == pytest.approx(se, rel=1e-8)
    for i in range(4):
        for times in (0.98, 1.02):
            moved = at.copy()
            moved[i] = moved[i] * times if moved[i] > 0.0 else 0.02 * (times - 0.98)
            assert whole(y, x, yard, values, moved, restricted)[0] >= here - 1e-9


def test_full_likelihood_makes_variances_smaller():
    y, x, yard, _ = made(3)
    by = [reml(y, x, {"yard": yard}, restricted=way).variances["yard"] for way in (False, True)]
    assert by[0] < by[1]


@pytest.mark.parametrize(
    ("slopes", "says"),
    [
        ({"nobody": np.ones(ROWS)}, "it has no grouping"),
        ({"rise": np.ones(3)}, "not a number in every row"),
        ({"rise": np.full(ROWS, np.nan)}, "not a number in every row"),
        ({"rise": np.ones(ROWS), "yard": np.ones(ROWS)}, "every grouping has one"),
    ],
)
def test_a_slope_that_cannot_be_is_refused(slopes, says):
    y, x, yard, _ = made(0)
    with pytest.raises(FitError, match=says):
        reml(y, x, {"yard": yard, "rise": yard}, slopes)
