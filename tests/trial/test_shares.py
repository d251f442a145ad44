"""Power of two bare shares: groups of different size against drawing, and its ends."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from breadline.errors import TrialError
from breadline.trial.shares import power_of_shares, unfed_for_shares

DRAWS = 200_000


@pytest.mark.parametrize(("unfed", "fed", "shares"), [(60, 360, (0.45, 0.63)), (200, 200, (0.7, 0.8))])
def test_power_of_unequal_groups_is_what_drawn_shares_come_to(unfed, fed, shares):
    rng = np.random.default_rng(20261127)
    low, high = rng.binomial(unfed, shares[0], DRAWS) / unfed, rng.binomial(fed, shares[1], DRAWS) / fed
    together = (unfed * low + fed * high) / (unfed + fed)
    error = np.sqrt(together * (1 - together) * (1 / unfed + 1 / fed))
    told = np.mean((high - low) / error > stats.norm.isf(0.05))
    # the approximation is good to a point or two at such numbers; drawing errs by 0.1
    assert power_of_shares(unfed, fed, shares, 0.10) == pytest.approx(told, abs=0.02)


def test_as_many_colonies_as_were_asked_for_have_the_power_asked_for():
    for shares, each in [((0.45, 0.63), 6.0), ((0.2, 0.1), 1.0), ((0.0, 0.4), 2.0)]:
        n = unfed_for_shares(shares, each, 0.10, 0.80)
        assert power_of_shares(n, n * each, shares, 0.10) == pytest.approx(0.80, abs=1e-6)
        assert power_of_shares(n / 2, n * each / 2, shares, 0.10) < 0.75


def test_shares_alike_or_impossible_are_refused():
    with pytest.raises(TrialError, match="no number of colonies"):
        unfed_for_shares((0.5, 0.5), 1.0, 0.05, 0.8)
    with pytest.raises(TrialError, match="shares from 0 to 1"):
        power_of_shares(10, 10, (0.2, 1.2), 0.05)
    with pytest.raises(TrialError, match="at least one colony"):
        power_of_shares(0, 10, (0.2, 0.4), 0.05)


def test_all_against_none_is_told_by_few_and_never_by_no_difference():
    assert power_of_shares(5, 5, (0.0, 1.0), 0.05) == 1.0
    assert power_of_shares(1, 1, (0.0, 1.0), 0.05) == 0.0  # a difference of 1 is 1.4 errors
    assert power_of_shares(50, 50, (1.0, 1.0), 0.05) == 0.0
