"""The difference on the scale of the belief."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from breadline.errors import TrialError
from breadline.span import Z95
from breadline.verdict.ancova import contrast, fit
from breadline.verdict.ends import Ends
from breadline.verdict.log_ratio import log_ratio


def ends(outcome, arm, block=None, baseline=None) -> Ends:
    n = len(outcome)
    block = np.zeros(n, int) if block is None else np.asarray(block)
    baseline = np.empty((n, 0)) if baseline is None else np.asarray(baseline, float).reshape(n, -1)
    return Ends(np.asarray(outcome, float), np.asarray(arm), block, baseline)


def test_without_baseline_or_blocks_it_is_the_log_of_the_two_means_with_the_error_by_hand():
    """Two independent means: se² = s²/(n m²) of each, and the t of Welch's degrees of freedom."""
    check, fed = np.array([6.0, 8.0, 7.0, 5.0, 9.0]), np.array([9.0, 7.5, 10.0, 8.5])
    found = log_ratio(ends([*check, *fed], [0] * 5 + [1] * 4), 1)
    assert found.estimate == pytest.approx(np.log(8.75 / 7.0))
    assert (found.fed, found.check) == (pytest.approx(8.75), pytest.approx(7.0))
    plain = np.sqrt(check.var(ddof=1) / 5 / 7.0**2 + fed.var(ddof=1) / 4 / 8.75**2)
    df = contrast(fit(ends([*check, *fed], [0] * 5 + [1] * 4)), np.array([-1.0, 1.0])).df
    assert found.se == pytest.approx(plain * stats.t.ppf(0.95, df) / Z95)


def test_the_two_means_differ_by_the_contrast_of_the_primary_analysis():
    rng = np.random.default_rng(3)
    arm, block = rng.permutation([0, 0, 1, 2] * 12), np.arange(48) // 8
    baseline = rng.normal(6, 1.5, 48)
    outcome = 2 + baseline + arm + rng.normal(0, 1, 48)
    told = ends(outcome, arm, block, baseline)
    found = log_ratio(told, 2)
    assert found.fed - found.check == pytest.approx(contrast(fit(told), np.array([-1.0, 0.0, 1.0])).estimate)


def test_frames_of_any_size_give_the_same_log_ratio():
    rng = np.random.default_rng(5)
    arm, outcome = np.tile([0, 1], 15), rng.normal(8, 2, 30)
    one, other = log_ratio(ends(outcome, arm), 1), log_ratio(ends(outcome * 1.6, arm), 1)
    assert (one.estimate, one.se) == (pytest.approx(other.estimate), pytest.approx(other.se))


def test_its_range_holds_the_truth_nine_times_in_ten():
    rng = np.random.default_rng(11)
    arm = np.repeat([0, 1], [10, 30])
    truth, held = np.log(9.6 / 8.0), 0
    for _ in range(400):
        baseline = rng.normal(0, 2, 40)
        found = log_ratio(
            ends(8.0 + 1.6 * arm + baseline * 0.6 + rng.normal(0, 2, 40), arm, None, baseline), 1
        )
        held += abs(found.estimate - truth) < Z95 * found.se
    assert held == pytest.approx(360, abs=18)  # three Monte Carlo errors


def test_a_check_group_that_is_nearly_dead_has_no_log_ratio():
    with pytest.raises(TrialError, match="not clear of nothing"):
        log_ratio(ends([0, 0, 0, 3, 8, 7, 9, 8], [0] * 4 + [1] * 4), 1)
