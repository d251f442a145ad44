"""From an outcome to money, and back to what it has to bring."""

from __future__ import annotations

from datetime import date
from math import log, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from breadline.errors import PlanError, TrialError
from breadline.plan.money import Amount
from breadline.plan.targets import Frames
from breadline.trial.design import Outcome
from breadline.trial.value_path import (
    NOT_ONE,
    FromNothing,
    MakingGrade,
    PerUnit,
    Strengths,
    counted_in,
    fitted_strengths,
)

FEE = Amount(188.0, "US$", 2023)


def contract(grade: float = 8.0, paid="hive_by_hive") -> Frames:
    return Frames(date(2027, 2, 10), grade, FEE, paid)


def path(dead: float = 0.05, alive: float = 7.0, log_sd: float = 0.37) -> MakingGrade:
    return MakingGrade(contract(), Strengths(dead, alive, log_sd), 400, 0.15)


def test_frames_and_honey_are_worth_their_price():
    frames, honey = (
        PerUnit(Outcome.FRAMES, Amount(12.0, "US$", 2026)),
        PerUnit(Outcome.HONEY, Amount(4.0, "EUR", 2026)),
    )
    assert frames.money(0.5) == 6.0
    assert frames.break_even(16.0) == pytest.approx(4 / 3)  # 16 / 12, by hand
    assert honey.break_even(18.0) == 4.5
    np.testing.assert_array_equal(honey.moneys(np.array([-1.0, 2.0])), [-4.0, 8.0])


def test_a_share_has_no_price_a_unit_and_a_price_is_above_0():
    with pytest.raises(TrialError):
        PerUnit(Outcome.MAKING_GRADE, FEE)
    with pytest.raises(PlanError):
        PerUnit(Outcome.FRAMES, Amount(0.0, "US$", 2026))


def test_frames_become_a_share_through_the_lognormal_of_the_living():
    dead, log_sd, at = 0.1, 0.37, path(0.1)
    # by hand, with scipy's lognormal of mean 7 and then 7.9: a gain of .81 started is .9 living
    share = [stats.lognorm.sf(8.0, log_sd, scale=m / np.exp(log_sd**2 / 2)) * (1 - dead) for m in (7.0, 7.9)]
    assert at.share_of(at.check) == pytest.approx(share[0])
    assert at.money(0.81) == pytest.approx(188 * (share[1] - share[0]))
    assert at.money(0.0) == 0.0


def test_fewer_dead_in_the_fed_arm_are_money_where_the_living_are_alike():
    at = path(0.2)
    fed = Strengths(0.1, 7.0, 0.37)
    living = at.share_of(at.check) / 0.8
    assert at.between(at.check, fed) == pytest.approx(188 * living * 0.1)


def test_both_ways_agree_where_an_arm_is_the_other_one_moved():
    at = path()
    assert at.between(at.check, at.check.moved(0.6)) == pytest.approx(at.money(0.6))
    assert at.check.moved(0.6).mean == pytest.approx(at.check.mean + 0.6)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.0, 0.4), st.floats(3.0, 14.0), st.floats(0.1, 0.6), st.floats(0.5, 40.0))
def test_the_break_even_is_worth_its_cost(dead, alive, log_sd, cost):
    at = path(dead, alive, log_sd)
    most = at.money(100.0)
    if cost >= most:
        with pytest.raises(TrialError, match="cannot pay"):
            at.break_even(cost)
    else:
        assert at.money(at.break_even(cost)) == pytest.approx(cost, abs=1e-5)


def test_a_sample_pays_by_the_mean_and_the_way_to_it_is_steeper():
    sample = MakingGrade(contract(paid="sample_average"), path().check, 400, 0.15)
    one_at_a_time = path()
    assert sample.money(2.0) > one_at_a_time.money(2.0) > 0


def test_an_arm_is_fitted_to_what_was_graded():
    frames = np.array([0.0, 4.0, 6.0, 9.0])
    of = fitted_strengths(frames)
    assert of.mean == pytest.approx(frames.mean())
    assert of.dead == 0.25
    logs = [log(4), log(6), log(9)]
    middle = sum(logs) / 3
    assert of.log_sd == pytest.approx(sqrt(sum((x - middle) ** 2 for x in logs) / 2))
    with pytest.raises(TrialError, match="dead"):
        fitted_strengths(np.zeros(3))


@pytest.mark.parametrize("odd", [(1.0, 7.0, 0.3), (-0.1, 7.0, 0.3), (0.1, 0.0, 0.3), (0.1, 7.0, 3.0)])
def test_strengths_that_cannot_be_are_refused(odd):
    with pytest.raises(TrialError):
        Strengths(*odd)


@pytest.mark.parametrize("mean", [6.0, 7.0, 8.0, 9.0])
def test_counts_in_half_frames_make_the_line_as_often_as_the_fitted_share_says(mean):
    """Drawn: 400,000 lognormal colonies counted to the half, and how many of them count 8 or more."""
    rng = np.random.default_rng(5)
    counts = np.round(2 * mean * np.exp(0.37 * rng.normal(size=400_000) - 0.37**2 / 2)) / 2
    arm, counted = fitted_strengths(counts), float(np.mean(counts >= 8.0))
    halves = MakingGrade(contract(), arm, 400, 1.0, 0.5)
    assert halves.line == 7.75
    assert halves.share_of(arm) == pytest.approx(counted, abs=0.004)
    measured = MakingGrade(contract(), arm, 400, 1.0)
    assert counted - measured.share_of(arm) > 0.02  # what the halves would hide


def test_from_where_on_a_count_makes_the_line():
    def line(grade, step, paid="hive_by_hive"):
        return MakingGrade(contract(grade, paid), path().check, 400, 0.15, step).line

    assert (line(8.0, 0.5), line(8.0, 1.0), line(8.0, 0.0)) == (7.75, 7.5, 8.0)
    assert line(8.2, 0.5) == 8.25  # 8½ is the least count that makes it, and it stands for 8¼ and up
    assert line(8.0, 0.5, "sample_average") == 8.0


def test_how_people_count_is_seen_from_the_counts():
    assert counted_in(np.array([7.5, 8.0, 0.0, 6.0])) == 0.5
    assert counted_in(np.array([7.25, 8.0, 6.5])) == 0.25
    assert counted_in(np.array([7.1, 8.0])) == 0.0
    assert counted_in(np.arange(3.0, 9.0)) == 0.5  # six whole counts may be halves by luck
    assert counted_in(np.arange(3.0, 20.0)) == 1.0


def test_where_no_check_colony_lived_the_line_is_reached_from_nothing():
    """By hand: 9 living of 10 fed, at 8 frames, half of them above their median: 0.45 of 188 at most."""
    fed = Strengths(0.1, 8.0, 0.2)
    none = FromNothing(contract(8.0 * np.exp(-(0.2**2) / 2)), NOT_ONE, 10, 1.0, 0.0, fed)
    assert none.share_of(none.check) == pytest.approx(0.0, abs=1e-5)
    assert none.share_at(7.2) == pytest.approx(0.45, abs=1e-6)
    assert none.money(7.2) == pytest.approx(0.45 * 188, abs=1e-3)
    assert none.break_even(0.45 * 188) == pytest.approx(7.2, abs=1e-4)
    with pytest.raises(TrialError, match=r"at most 169\.20"):
        none.break_even(180.0)  # 188 for each of nine in ten is all there is
