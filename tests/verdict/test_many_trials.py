"""Many trials at once give what the analysis gives one at a time."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from breadline.errors import TrialError
from breadline.verdict.ancova import classical_contrast, contrast, fit
from breadline.verdict.ends import Ends
from breadline.verdict.many_quantiles import t_quantiles
from breadline.verdict.many_trials import ManyTrials, by_arrays, many_contrasts

ARMS = np.array([-1.0, 1.0])


def drawn(rng, baseline: bool, lost: float, dead: float, trials: int = 140) -> ManyTrials:
    block = np.repeat(np.arange(6), [3, 5, 4, 8, 4, 6])
    arm = np.concatenate([(np.arange(n) >= max(1, n // 3)).astype(np.int64) for n in (3, 5, 4, 8, 4, 6)])
    before = rng.normal(8, 2, (trials, len(arm)))
    outcome = 4 + 0.5 * before + arm + rng.normal(0, 1.5, before.shape)
    outcome[rng.random(outcome.shape) < dead] = 0.0
    outcome[rng.random(outcome.shape) < lost] = np.nan
    return ManyTrials(arm, block, outcome, before if baseline else None)


WAYS = [many_contrasts, by_arrays]  # compiled where numba is, and the reference


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("baseline", [True, False])
@pytest.mark.parametrize(("lost", "dead"), [(0.0, 0.0), (0.1, 0.0), (0.1, 0.2)])
def test_each_of_many_is_the_one_alone(way, baseline, lost, dead):
    many = drawn(np.random.default_rng(5), baseline, lost, dead)
    found = way(many)
    for t in range(0, 140, 23):  # more trials than go side by side at a time
        outcome = many.outcome[t]
        there = np.isfinite(outcome)
        before = many.baseline[t, there][:, None] if baseline else np.empty((there.sum(), 0))
        fitted = fit(Ends(outcome[there], many.arm[there], many.block[there], before))
        one = contrast(fitted, ARMS)
        assert found.estimate[t] == pytest.approx(one.estimate, rel=1e-9)
        assert found.se[t] == pytest.approx(one.se, rel=1e-9)
        assert found.df[t] == pytest.approx(one.df, rel=1e-8)
        ends = [float(end[t]) for end in found.interval(0.90)]
        assert ends == pytest.approx(one.interval(0.90), rel=1e-8)
        pooled = classical_contrast(fitted, ARMS)
        assert found.classical_se[t] == pytest.approx(pooled.se, rel=1e-9)
        assert found.classical_df[t] == pooled.df


@pytest.mark.parametrize("baseline", [True, False])
def test_the_compiled_way_is_the_reference_whatever_blocks_hold(baseline):
    """Arms in any order within blocks, blocks of one and two that may lose all, levels far apart."""
    rng = np.random.default_rng(8)
    sizes = [1, 2, 2, 3, 7, 2, 17, 1, 9, 4]
    block = np.repeat(np.arange(len(sizes)), sizes)
    arm = (rng.random(block.size) < 0.6).astype(np.int64)
    level = 1e3 * rng.normal(size=len(sizes))[block]
    before = level + rng.gamma(0.3, 2.0, (300, block.size))  # skewed: some colonies decide their own value
    outcome = level + 0.5 * before + arm + rng.normal(size=before.shape)
    outcome[rng.random(outcome.shape) < 0.3] = np.nan
    trials = ManyTrials(arm, block, outcome, before if baseline else None)
    ours, reference = many_contrasts(trials), by_arrays(trials)
    assert np.array_equal(ours.df > 0, reference.df > 0)
    for name in ("estimate", "se", "df", "classical_se", "classical_df"):
        np.testing.assert_allclose(
            getattr(ours, name), getattr(reference, name), rtol=1e-8, atol=1e-9, err_msg=name
        )


def test_a_colony_that_alone_decides_its_value_is_told_as_the_reference_tells_it():
    """One unfed colony left in its block with a fed one, and no other of its arm: nothing can be judged."""
    arm, block = np.array([0, 1, 0, 1, 1, 1]), np.array([0, 0, 1, 1, 1, 1])
    outcome = np.random.default_rng(2).normal(size=(70, 6))
    outcome[::2, 2] = np.nan
    trials = ManyTrials(arm, block, outcome, None)
    ours, reference = many_contrasts(trials), by_arrays(trials)
    assert np.array_equal(ours.df > 0, reference.df > 0)
    np.testing.assert_allclose(ours.df, reference.df, rtol=1e-9)


def test_quantiles_of_many_are_those_of_each():
    rng = np.random.default_rng(3)
    for least, most in ((1.0, 1e6), (3.0, 40.0), (11.9, 12.1), (7.0, 7.0)):
        df = np.append(rng.uniform(least, most, 999), (least, most))
        np.testing.assert_allclose(t_quantiles(0.95, df), stats.t.ppf(0.95, df), rtol=1e-12)


@pytest.mark.parametrize("way", WAYS)
def test_a_trial_that_cannot_be_judged_gives_no_number_and_spoils_no_other(way):
    arm, block = np.array([0, 0, 1, 1, 1]), np.zeros(5, dtype=np.int64)
    outcome = np.array(
        [[1.0, 2.0, 3.0, 5.0, 4.0], [np.nan, 2.0, 3.0, 5.0, 4.0], [np.nan, np.nan, 3.0, 5.0, 4.0]]
    )
    found = way(ManyTrials(arm, block, outcome))
    assert found.estimate[0] == pytest.approx(2.5)  # 4 less 1.5, by hand
    assert np.isnan(found.estimate[1:]).all()
    assert (found.df[1:] == 0).all()


def test_colonies_out_of_the_order_of_their_blocks_are_refused():
    with pytest.raises(TrialError):
        ManyTrials(np.array([0, 1]), np.array([1, 0]), np.ones((1, 2)))
    with pytest.raises(TrialError):
        ManyTrials(np.array([0, 1]), np.array([0, 0]), np.ones((1, 3)))
