"""Yards drawn whole: t and exact test on yards, not on colonies."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from breadline.errors import TrialError
from breadline.verdict.ends import Ends
from breadline.verdict.yard_means import means_of_yards, yard_answer
from tests.verdict.test_ancova import ends


def dice():
    return np.random.default_rng(8)


def yards_of(means, arm, colonies=4, block=None, baseline=False) -> tuple[Ends, np.ndarray]:
    rng = np.random.default_rng(3)
    yard = np.repeat(np.arange(len(means)), colonies)
    around = rng.normal(size=(len(means), colonies))
    around -= around.mean(axis=1, keepdims=True)
    outcome = np.repeat(means, colonies) + around.ravel()
    block = np.zeros(len(yard), int) if block is None else np.repeat(block, colonies)
    return ends(outcome, np.repeat(arm, colonies), block, around.ravel() if baseline else None), yard


def test_t_and_exact_test_are_those_of_the_yards():
    means, arm = np.array([5.0, 6.5, 5.5, 6.0, 7.0, 8.5, 7.5, 9.0]), np.array([0] * 4 + [1] * 4)
    found = yard_answer(*yards_of(means, arm, colonies=20), dice())
    told = stats.ttest_ind(means[4:], means[:4])
    assert (found.contrast.estimate, found.contrast.df) == (pytest.approx(2.25), 6)
    assert found.contrast.p_two_sided() == pytest.approx(told.pvalue)
    assert (found.permutation.p_two_sided, found.yards) == (pytest.approx(2 / 70), (4, 4))


def test_pairs_of_yards_are_the_paired_t_test():
    check, fed = np.array([5.0, 8.0, 3.0, 6.0, 9.0]), np.array([6.0, 9.5, 3.5, 8.0, 9.5])
    block = np.tile(np.arange(5), 2)
    found = yard_answer(*yards_of([*check, *fed], [0] * 5 + [1] * 5, block=block), dice())
    told = stats.ttest_rel(fed, check)
    assert (found.contrast.df, found.contrast.p_two_sided()) == (4, pytest.approx(told.pvalue))
    assert found.permutation.p_two_sided == pytest.approx(2 / 32)


def test_colonies_of_a_yard_add_no_degrees_of_freedom_and_few_colonies_weigh_as_many():
    means, arm = np.array([5.0, 6.5, 7.0, 8.5]), np.array([0, 0, 1, 1])
    one, many = (yard_answer(*yards_of(means, arm, colonies=n), dice()) for n in (2, 40))
    assert (one.contrast.df, many.contrast.df) == (2, 2)
    assert one.contrast.se == pytest.approx(many.contrast.se)


def test_the_baseline_is_freed_with_the_slope_within_yards():
    colonies, yard = yards_of([5.0, 6.5, 7.0, 8.5], [0, 0, 1, 1], baseline=True)
    lower = (
        yard == 0
    )  # a yard that began two frames stronger and ended as much stronger (slope 1 within yards)
    moved = Ends(
        colonies.outcome + 2.0 * lower, colonies.arm, colonies.block, colonies.baseline + 2.0 * lower[:, None]
    )
    one, other = (means_of_yards(c, yard).outcome for c in (colonies, moved))
    assert np.ptp(other - one) == pytest.approx(0.0, abs=1e-9)


def test_a_yard_that_holds_both_arms_is_refused():
    data = ends([1, 2, 3, 4, 5, 6], [0, 1, 0, 0, 1, 1])
    with pytest.raises(TrialError, match="drawn apart"):
        yard_answer(data, np.array([0, 0, 1, 1, 2, 2]), dice())


def test_one_yard_an_arm_is_refused():
    data = ends([1, 2, 3, 4], [0, 0, 1, 1])
    with pytest.raises(TrialError, match="leave nothing to judge the spread by"):
        yard_answer(data, np.array([0, 0, 1, 1]), dice())
