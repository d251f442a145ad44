"""Sums over groups give what the formulas of the papers give with whole matrices of rows by rows."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize

from breadline.verdict.reml import reml, reml_many

from .invented_trials import SHAPES, Trial, trial

ARM = np.array([0.0, 0.0, 1.0])


class Whole:
    """The model written out: V, its inverse, P, and Kenward and Roger's sums, all of size rows by rows."""

    def __init__(self, t: Trial, variances: list[float]) -> None:
        x, y, n = t.fixed, t.outcome, len(t.outcome)
        z = [(g[:, None] == np.unique(g)).astype(float) for g in t.groups.values()]
        self.g = [np.eye(n), *(one @ one.T for one in z)]
        v = sum(s * g for s, g in zip(variances, self.g, strict=True))
        inverse = np.linalg.inv(v)
        self.phi = np.linalg.inv(x.T @ inverse @ x)
        self.effects = self.phi @ x.T @ inverse @ y
        left = y - x @ self.effects
        p = inverse - inverse @ x @ self.phi @ x.T @ inverse
        self.criterion = (
            np.linalg.slogdet(v)[1]
            - np.linalg.slogdet(self.phi)[1]
            + left @ inverse @ left
            + (n - x.shape[1]) * np.log(2.0 * np.pi)
        )
        self.slope = np.array([np.trace(p @ g) - y @ p @ g @ p @ y for g in self.g])
        self.weights = np.linalg.inv([[np.trace(p @ a @ p @ b) / 2.0 for a in self.g] for b in self.g])
        self.bent = [-x.T @ inverse @ g @ inverse @ x for g in self.g]
        self.twice = [[x.T @ inverse @ a @ inverse @ b @ inverse @ x for b in self.g] for a in self.g]

    def adjusted(self):
        k = range(len(self.g))
        middle = sum(
            self.weights[i, j] * (self.twice[i][j] - self.bent[i] @ self.phi @ self.bent[j])
            for i in k
            for j in k
        )
        return self.phi + 2.0 * self.phi @ middle @ self.phi

    def f_test(self, rows):
        """F scaled, its scale and degrees of freedom by the equations of the paper as they are printed."""
        q, k = len(rows), range(len(self.g))
        theta = rows.T @ np.linalg.inv(rows @ self.phi @ rows.T) @ rows
        part = [theta @ self.phi @ b @ self.phi for b in self.bent]
        a1 = sum(self.weights[i, j] * np.trace(part[i]) * np.trace(part[j]) for i in k for j in k)
        a2 = sum(self.weights[i, j] * np.trace(part[i] @ part[j]) for i in k for j in k)
        b = (a1 + 6 * a2) / (2 * q)
        g = ((q + 1) * a1 - (q + 4) * a2) / ((q + 2) * a2)
        c1, c2, c3 = (c / (3 * q + 2 * (1 - g)) for c in (g, q - g, q + 2 - g))
        mean = 1 / (1 - a2 / q)
        variance = 2 / q * (1 + c1 * b) / ((1 - c2 * b) ** 2 * (1 - c3 * b))
        rho = variance / (2 * mean**2)
        m = 4 + (q + 2) / (q * rho - 1)
        scale = m / (mean * (m - 2))
        told = rows @ self.effects
        return scale * told @ np.linalg.inv(rows @ self.adjusted() @ rows.T) @ told / q, scale, m


CASES = [(shape, seed) for shape in SHAPES for seed in range(6)]


@pytest.mark.parametrize(("shape", "seed"), CASES)
def test_a_fit_agrees_with_whole_matrices(shape, seed):
    t = trial(seed, shape)
    fit = reml(t.outcome, t.fixed, t.groups)
    whole = Whole(t, [fit.variances[name] for name in ("residual", *t.groups)])
    assert fit.criterion == pytest.approx(whole.criterion, abs=1e-9)
    assert fit.effects == pytest.approx(whole.effects, rel=1e-9)
    assert fit.covariance == pytest.approx(whole.phi, rel=1e-8)
    assert fit.adjusted_covariance == pytest.approx(whole.adjusted(), rel=1e-7)
    for rows in (np.eye(3)[2:], np.eye(3)[1:], np.eye(3)):
        told, (f, scale, df) = fit.f_test(rows), whole.f_test(rows)
        assert (told.f, told.scale, told.df) == pytest.approx((f, scale, df), rel=1e-6)
    assert fit.contrast(ARM).df == pytest.approx(whole.f_test(ARM[None])[2], rel=1e-6)


@pytest.mark.parametrize(("shape", "seed"), CASES)
def test_the_search_ends_where_the_slope_is_none_or_leads_below_none(shape, seed):
    t = trial(seed, shape)
    fit = reml(t.outcome, t.fixed, t.groups)
    assert fit.settled
    variances = [fit.variances[name] for name in ("residual", *t.groups)]
    for slope, variance in zip(Whole(t, variances).slope, variances, strict=True):
        assert slope * variance == pytest.approx(0.0, abs=1e-5)
        assert variance > 0.0 or slope > -1e-6
    assert set(fit.at_boundary) == {name for name in t.groups if fit.variances[name] == 0.0}


@pytest.mark.parametrize("seed", range(3))
def test_no_other_search_finds_a_higher_likelihood(seed):
    t = trial(100 + seed, "yards and graders", rows=40)
    found = reml(t.outcome, t.fixed, t.groups).criterion

    def criterion(logs):
        return Whole(t, list(np.exp(logs))).criterion

    for start in (0.05, 3.0):
        other = minimize(
            criterion, np.log([1.0, start, start]), method="Nelder-Mead", options={"maxiter": 150}
        )
        assert found <= other.fun + 1e-8


def test_a_search_that_ended_on_a_lower_hill_is_taken_up_again():
    """Twenty colonies and three groupings: the first search ends at no grader's variance, 0.7 too high."""
    t = trial(5551, "all three", rows=20, spread=(0.0, 0.01, 0.1, 0.3, 1.0, 4.0, 30.0, 1000.0))
    fit = reml(t.outcome, t.fixed, t.groups)
    assert fit.at_boundary == ("yard",)

    def criterion(logs):
        return Whole(t, [*np.exp(logs[:1]), 0.0, *np.exp(logs[1:])]).criterion

    start = np.log([fit.variances["half"] / 3.0] * 3)
    lower = minimize(criterion, start, method="Nelder-Mead", options={"maxiter": 400})
    assert fit.criterion <= lower.fun + 1e-6


@pytest.mark.parametrize("shape", SHAPES)
def test_many_at_once_are_the_same_fits(shape):
    t = trial(3, shape)
    rng = np.random.default_rng(8)
    outcomes = t.outcome + rng.normal(size=(40, len(t.outcome)))
    many = reml_many(outcomes, t.fixed, t.groups, ARM)
    for i, outcome in enumerate(outcomes):
        one = reml(outcome, t.fixed, t.groups)
        told = one.contrast(ARM)
        assert (many.estimate[i], many.se[i], many.df[i]) == pytest.approx((told.estimate, told.se, told.df))
        for name, variance in one.variances.items():
            assert many.variances[name][i] == pytest.approx(variance, rel=1e-6, abs=1e-9)
