"""Pooling against R on the thirteen BCG trials, and what must hold of it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import TrialError
from breadline.verdict.pooling import Results, pool, pool_alike
from tests.published.data import numbers

METHODS = ("dersimonian_laird", "paule_mandel", "reml")


def bcg() -> Results:
    """Log risk ratios of the vaccinated and their standard errors."""
    of = {c: numbers("bcg_trials", c) for c in ("BCGTB", "BCGVacc", "NoVaccTB", "NoVacc")}
    ratio = np.log(of["BCGTB"] / of["BCGVacc"] / (of["NoVaccTB"] / of["NoVacc"]))
    return Results(
        ratio, np.sqrt(1 / of["BCGTB"] - 1 / of["BCGVacc"] + 1 / of["NoVaccTB"] - 1 / of["NoVacc"])
    )


# R 4.2.2, metafor 3.8-1: rma(yi, vi, method = ...) and with test = "knha"; its search to 1e-12
@pytest.mark.parametrize(
    ("method", "tau2", "mean", "se", "hartung_knapp", "low", "high"),
    [
        (
            "dersimonian_laird",
            0.3087602629,
            -0.7141172221,
            0.1787420895,
            0.1806966283,
            -1.1078213542,
            -0.3204130900,
        ),
        (
            "paule_mandel",
            0.3180684522,
            -0.7149681535,
            0.1808921915,
            0.1808921915,
            -1.1090983812,
            -0.3208379258,
        ),
        ("reml", 0.3132432581, -0.7145323422, 0.1797815161, 0.1807917441, -1.1084437137, -0.3206209706),
    ],
)
def test_the_bcg_trials_as_r_pools_them(method, tau2, mean, se, hartung_knapp, low, high):
    found = pool(bcg(), method)
    assert found.between_sd**2 == pytest.approx(tau2, rel=1e-7)
    assert (found.mean, found.se) == (pytest.approx(mean, rel=1e-7), pytest.approx(se, rel=1e-7))
    assert found.hartung_knapp_se == pytest.approx(hartung_knapp, rel=1e-7)
    assert found.interval(0.95) == pytest.approx((low, high), rel=1e-7)
    assert found.q == pytest.approx(152.2330080824)


def test_alike_and_the_next_trial():
    found = pool_alike(bcg())
    assert (found.mean, found.se) == (pytest.approx(-0.4302851637), pytest.approx(0.0404987517))
    found = pool(bcg(), "dersimonian_laird")  # qt(.975, 11) * sqrt(tau2 + se^2) of metafor's fit
    assert found.next_trial(0.95) == pytest.approx((-1.998838496, 0.5706040516), rel=1e-7)


@st.composite
def results(draw):
    rng = np.random.default_rng(draw(st.integers(0, 10**6)))
    n = draw(st.integers(2, 12))
    return Results(rng.normal(0.5, draw(st.floats(0, 2)), n), rng.uniform(0.1, 1.0, n))


@settings(max_examples=40, deadline=None)
@given(results(), st.sampled_from(METHODS), st.integers(0, 10**6))
def test_order_and_origin_do_not_matter_and_the_unit_goes_through(given_results, method, seed):
    one = pool(given_results, method)
    order = np.random.default_rng(seed).permutation(len(given_results.se))
    other = pool(Results(3.0 * given_results.effect[order] + 7.0, 3.0 * given_results.se[order]), method)
    assert other.mean == pytest.approx(3.0 * one.mean + 7.0, rel=1e-5)
    assert (other.se, other.between_sd) == (
        pytest.approx(3.0 * one.se, rel=1e-5),
        pytest.approx(3.0 * one.between_sd, rel=1e-4, abs=1e-4),
    )
    low, high = one.interval(0.9)
    assert min(given_results.effect) - 1e-9 <= one.mean <= max(given_results.effect) + 1e-9
    assert high - low >= 2 * 1.64 * one.se
    following = one.next_trial(0.9)
    assert (following is None) == (one.trials == 2)


@settings(max_examples=30, deadline=None)
@given(results())
def test_reml_is_where_its_likelihood_is_highest(given_results):
    def likelihood(between):
        weight = 1 / (given_results.se**2 + between)
        mean = weight @ given_results.effect / weight.sum()
        far = np.sum(weight * (given_results.effect - mean) ** 2)
        return 0.5 * (np.sum(np.log(weight)) - np.log(weight.sum()) - far)

    found = pool(given_results, "reml").between_sd ** 2
    around = [likelihood(b) for b in (0.98 * found, 1.02 * found + 1e-6)]
    assert likelihood(found) >= max(around) - 1e-9


def test_trials_that_agree_differ_by_nothing():
    same = Results(np.array([0.4, 0.4, 0.4]), np.array([0.1, 0.2, 0.3]))
    assert [pool(same, m).between_sd for m in METHODS] == [0.0, 0.0, 0.0]
    assert pool(same, "reml").interval(0.9)[1] > 0.4


def test_one_trial_is_no_pool():
    with pytest.raises(TrialError):
        pool(Results(np.array([0.4]), np.array([0.1])), "reml")
    with pytest.raises(TrialError):
        pool(Results(np.array([0.4, 0.5]), np.array([0.1, 0.0])), "reml")
