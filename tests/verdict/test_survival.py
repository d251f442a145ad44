"""Kaplan–Meier and log-rank against R on two printed data sets."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.errors import TrialError
from breadline.verdict.survival import Lives, kaplan_meier, log_rank
from tests.published.data import columns, numbers


def maintenance() -> Lives:
    weeks, died = numbers("leukaemia_maintenance", "time"), numbers("leukaemia_maintenance", "cens") == 1
    arm = numbers("leukaemia_maintenance", "group").astype(int) - 1
    return Lives(weeks, died, arm, np.zeros(len(arm), int))


def remission(strata: int) -> Lives:
    arm = np.array([["6-MP", "control"].index(t) for t in columns("leukaemia_6mp")["treat"]])
    pair = numbers("leukaemia_6mp", "pair").astype(int)
    return Lives(numbers("leukaemia_6mp", "time"), numbers("leukaemia_6mp", "cens") == 1, arm, pair % strata)


# R 4.2.2, survival 3.5-3: summary(survfit(...)) of either group
@pytest.mark.parametrize(
    ("arm", "day", "at_risk", "deaths", "alive", "se"),
    [
        (0, 9, 11, 1, 0.909091, 0.0866784),
        (0, 13, 10, 1, 0.818182, 0.1162913),
        (0, 18, 8, 1, 0.715909, 0.1396650),
        (0, 31, 5, 1, 0.490909, 0.1641933),
        (0, 48, 2, 1, 0.184091, 0.1534927),
        (1, 5, 12, 2, 0.8333333, 0.1075829),
        (1, 23, 6, 1, 0.4861111, 0.1481301),
        (1, 43, 2, 1, 0.0972222, 0.0918664),
    ],
)
def test_curve_is_that_of_r(arm, day, at_risk, deaths, alive, se):
    lives = maintenance()
    curve = kaplan_meier(lives.days[lives.arm == arm], lives.died[lives.arm == arm])
    (i,) = np.flatnonzero(curve.days == day)
    assert (curve.at_risk[i], curve.deaths[i]) == (at_risk, deaths)
    assert (curve.alive[i], curve.se[i]) == (pytest.approx(alive, abs=5e-7), pytest.approx(se, abs=5e-7))


# R 4.2.2, survival 3.5-3: survfit(..., conf.type = "log-log", conf.int = 0.9)
@pytest.mark.parametrize(
    ("arm", "day", "low", "high"),
    [
        (0, 9, 0.610157457, 0.98178071),
        (0, 18, 0.417704095, 0.87990444),
        (0, 31, 0.214030303, 0.72009679),
        (0, 48, 0.022243398, 0.47116618),
        (1, 5, 0.557477689, 0.94470047),
        (1, 23, 0.235714447, 0.69765149),
        (1, 43, 0.010668303, 0.30226747),
    ],
)
def test_range_of_a_curve_is_that_of_r(arm, day, low, high):
    lives = maintenance()
    curve = kaplan_meier(lives.days[lives.arm == arm], lives.died[lives.arm == arm], 0.9)
    (i,) = np.flatnonzero(curve.days == day)
    assert (curve.low[i], curve.high[i]) == (pytest.approx(low, rel=1e-7), pytest.approx(high, rel=1e-7))


def test_none_left_alive_has_no_range():
    lives = maintenance()
    curve = kaplan_meier(lives.days[lives.arm == 1], lives.died[lives.arm == 1])
    assert np.isnan([curve.low[-1], curve.high[-1]]).all()  # R: NA


def test_a_curve_that_ends_with_a_death_ends_at_none_alive():
    lives = maintenance()
    curve = kaplan_meier(lives.days[lives.arm == 1], lives.died[lives.arm == 1])
    assert (curve.days[-1], curve.alive[-1]) == (45, 0.0)


def test_log_rank_is_that_of_r():  # survdiff(...)$chisq, $obs, $exp
    found = log_rank(maintenance())
    assert found.chi_square == pytest.approx(3.3963886990, rel=1e-9)
    assert found.observed == (7, 11)
    assert found.expected == pytest.approx((10.6893359923, 7.3106640077))
    assert found.p == pytest.approx(0.0653, abs=5e-5)
    found = log_rank(remission(1))
    assert found.chi_square == pytest.approx(16.7929409892, rel=1e-9)
    assert found.expected == pytest.approx((19.2505009480, 10.7494990520))
    assert log_rank(remission(3)).chi_square == pytest.approx(13.7738574151, rel=1e-9)  # strata(pair %% 3)


def test_what_cannot_be_answered_is_refused():
    days, arm, zero = np.array([5.0, 6.0, 7.0]), np.array([0, 1, 1]), np.zeros(3, int)
    with pytest.raises(TrialError, match="no death"):
        log_rank(Lives(days, np.zeros(3, bool), arm, zero))
    with pytest.raises(TrialError, match="one arm"):
        log_rank(Lives(days, np.ones(3, bool), zero, zero))
    with pytest.raises(TrialError, match="has none"):
        Lives(np.array([5.0, np.nan, 7.0]), np.ones(3, bool), arm, zero)
