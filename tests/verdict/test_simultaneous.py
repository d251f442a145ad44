"""Dunnett's and Tukey–Kramer's reach against R, scipy and each other."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from breadline.errors import TrialError
from breadline.verdict.ancova import classical_contrast, contrast, fit
from breadline.verdict.simultaneous import (
    against_check,
    between_all,
    chance_all_within,
    dunnett_quantile,
    tukey_quantile,
)
from tests.verdict.test_ancova import ends, weights_before_after


def alike(n: int, r: float):
    return np.full((n, n), r) + (1 - r) * np.eye(n)


# R 4.2.2, multcomp 1.4.22: glht(aov(Postwt ~ Treat), mcp(Treat = "Dunnett")); good to about 1e-4
def test_dunnetts_reach_is_that_of_r():
    sizes = {"check": 29, "one": 26, "other": 17}
    lam = [np.sqrt(n / (n + sizes["check"])) for n in (26, 17)]
    r = lam[0] * lam[1]
    assert dunnett_quantile(alike(2, r), 69, 0.95) == pytest.approx(2.2670258, abs=2e-4)


def test_tukeys_intervals_are_those_of_r():  # TukeyHSD(aov(Postwt ~ Treat), conf.level = .9)
    data = weights_before_after()
    fitted = fit(ends(data.outcome, data.arm))
    for weights, low, high in [
        ([-1, 1, 0], -8.6968257641, -0.4808930688),
        ([0, -1, 1], 4.6423202746, 14.1305304041),
    ]:
        one = classical_contrast(fitted, np.array(weights, float))
        reach = tukey_quantile(3, one.df, 0.9) * one.se
        assert (one.estimate - reach, one.estimate + reach) == pytest.approx((low, high), abs=2e-6)


def test_all_within_is_what_scipy_integrates_in_its_own_way():
    shape = np.array([[1, 0.3, 0.7], [0.3, 1, 0.1], [0.7, 0.1, 1]])
    theirs = stats.multivariate_t(shape=shape, df=6, seed=1).cdf(
        [2, 2, 2], lower_limit=[-2, -2, -2], maxpts=200_000
    )
    assert chance_all_within(shape, 6, 2.0) == pytest.approx(float(theirs), abs=3e-5)


def test_one_difference_alone_needs_no_more_than_t_and_independent_ones_multiply():
    assert dunnett_quantile(alike(1, 1.0), 11, 0.9) == pytest.approx(stats.t.ppf(0.95, 11))
    assert chance_all_within(alike(2, 1.0), 11, 2.0) == pytest.approx(1 - 2 * stats.t.sf(2.0, 11), abs=1e-5)
    many = 1e7  # the spread as good as known: independent values
    assert chance_all_within(alike(3, 0.0), many, 1.5) == pytest.approx(
        (1 - 2 * stats.norm.sf(1.5)) ** 3, abs=1e-6
    )


def test_together_they_reach_further_than_alone_and_no_further_than_each_for_itself():
    fitted = fit(weights_before_after())
    for found in (*against_check(fitted, 0.9), *between_all(fitted, 0.9)):
        alone = found.contrast.interval(0.9)
        assert found.low < alone[0] < alone[1] < found.high
    assert [(f.first, f.second) for f in between_all(fitted, 0.9)] == [(0, 1), (0, 2), (1, 2)]
    assert against_check(fitted, 0.9)[1].contrast == contrast(fitted, np.array([-1.0, 0, 1]))
    assert [f.told_apart for f in between_all(fitted, 0.9)] == [True, False, True]


def test_more_than_four_arms_are_refused():
    with pytest.raises(TrialError, match="5 arms"):
        dunnett_quantile(alike(4, 0.5), 10, 0.9)


def test_with_two_arms_all_three_ways_are_the_one_interval():
    data = weights_before_after()
    two = data.arm < 2
    fitted = fit(ends(data.outcome[two], data.arm[two], baseline=data.baseline[two]))
    alone = contrast(fitted, np.array([-1.0, 1.0])).interval(0.9)
    for (found,) in (against_check(fitted, 0.9), between_all(fitted, 0.9)):
        assert (found.low, found.high) == pytest.approx(alone, rel=1e-6)
