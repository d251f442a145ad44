"""Many trials at once give what the analysis gives one at a time."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.errors import TrialError
from breadline.verdict.ancova import classical_contrast, contrast, fit
from breadline.verdict.ends import Ends
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
        pooled = classical_contrast(fitted, ARMS)
        assert found.classical_se[t] == pytest.approx(pooled.se, rel=1e-9)
        assert found.classical_df[t] == pooled.df


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
