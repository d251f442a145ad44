"""What an answer is worth: closed, by draws, and by integrating it all out."""

from __future__ import annotations

from datetime import date
from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from breadline.errors import TrialError
from breadline.plan.money import Amount
from breadline.plan.targets import Frames
from breadline.trial import worth
from breadline.trial.classes import Lines
from breadline.trial.design import Outcome
from breadline.trial.planner import Questions
from breadline.trial.proposal import Stakes, check_sizes, propose_colonies, propose_yards
from breadline.trial.sets import Noise
from breadline.trial.size import YardDraw
from breadline.trial.value_path import MakingGrade, PerUnit, Strengths
from breadline.trial.worth import Ahead, Belief, Grading

PRICE = PerUnit(Outcome.FRAMES, Amount(12.0, "US$", 2026))
FEE = Amount(188.0, "US$", 2023)
GRADE = MakingGrade(
    Frames(date(2027, 2, 10), 8.0, FEE, "hive_by_hive"), Strengths(0.05, 7.0, 0.37), 400, 0.15
)


def integrated(belief: Belief, path, cost: float, se: float) -> float:
    """The definition by scipy's quadrature: over the result, and within it over what a season may bring."""
    data = se**2 + belief.between**2
    sd = sqrt(belief.sd**2 + data)  # of the result
    shrink = belief.sd**2 / (belief.sd**2 + data)
    left = sqrt(belief.sd**2 * (1 - shrink) + belief.between**2)

    z = np.linspace(-9, 9, 1001)

    def season(mean: float, sd: float) -> float:
        return integrate.simpson(path.moneys(mean + sd * z) * stats.norm.pdf(z), x=z) - cost

    def decided(z: float) -> float:
        after = belief.mean + shrink * sd * z
        return max(0.0, season(after, left)) * stats.norm.pdf(z)

    turns = -(belief.mean - path.break_even(cost)) / (shrink * sd)
    with_it = integrate.quad(decided, -8, 8, points=[min(max(turns, -7.9), 7.9)], epsabs=1e-6, limit=100)[0]
    return with_it - max(0.0, season(belief.mean, sqrt(belief.sd**2 + belief.between**2)))


@pytest.mark.parametrize(
    ("belief", "cost", "se"),
    [
        (Belief(0.6, 0.8, 0.0), 9.0, 0.64),
        (Belief(0.6, 0.8, 0.3), 9.0, 0.48),
        (Belief(1.6, 1.7, 1.6), 16.0, 0.7),
        (Belief(-0.5, 0.4, 0.2), 9.0, 0.3),
    ],
)
def test_the_closed_form_is_the_definition_integrated_and_what_draws_come_to(belief, cost, se):
    closed = worth.answer_linear(belief, PRICE, cost, se)
    assert closed == pytest.approx(integrated(belief, PRICE, cost, se), abs=2e-5)
    assert worth.answer_drawn(belief, PRICE, cost, se) == pytest.approx(closed, rel=0.01, abs=0.01)
    assert worth.answer_worth(belief, PRICE, cost, se) == closed


# R 4.2.2, integrate(pmax(0, x - b) dnorm(x, m, s_pre)) less max(0, m - b), times 12: 4 to 50 unfed
# of 100, spread 1.92 frames, belief 0.6 give or take 0.8, break-even 0.75
@pytest.mark.parametrize(
    ("unfed", "expected"), [(4, 1.627879049), (10, 2.17640895), (20, 2.46226413), (50, 2.62710166)]
)
def test_the_closed_form_is_what_r_integrates(unfed, expected):
    se = 1.92 * sqrt(1 / unfed + 1 / (100 - unfed))
    assert worth.answer_linear(Belief(0.6, 0.8, 0.0), PRICE, 9.0, se) == pytest.approx(expected, abs=1e-8)
    assert expected < 12 * 0.8 * worth.unit_normal_loss(0.15 / 0.8) == pytest.approx(2.996971, abs=1e-6)


def test_where_a_frame_is_not_always_worth_the_same_draws_come_to_what_is_integrated():
    belief = Belief(0.6, 0.8, 0.5)
    drawn = worth.answer_worth(belief, GRADE, 16.0, 0.6)
    assert drawn == pytest.approx(integrated(belief, GRADE, 16.0, 0.6), rel=0.01)
    assert worth.expected_money(belief, GRADE, 16.0) == pytest.approx(
        integrate.quad(lambda e: GRADE.money(e) * stats.norm.pdf(e, 0.6, sqrt(0.64 + 0.25)), -8, 9)[0] - 16.0
    )


def test_the_unit_normal_loss_is_its_own_definition():
    for u in (0.0, 0.5, 1.0, 2.0, 3.5):
        above = integrate.quad(lambda x, u=u: (x - u) * stats.norm.pdf(x), u, 12)[0]
        assert worth.unit_normal_loss(u) == pytest.approx(above, abs=1e-9)


def test_at_even_odds_perfect_knowledge_is_worth_a_standard_deviation_over_root_two_pi():
    # by hand: L(0) = 1/√(2π)
    sure = worth.answer_linear(Belief(0.75, 0.8, 0.0), PRICE, 9.0, 1e-9)
    assert sure == pytest.approx(12 * 0.8 / sqrt(2 * np.pi))


@settings(max_examples=50, deadline=None)
@given(st.floats(-2, 2), st.floats(0.1, 2), st.floats(0, 1), st.floats(0, 20), st.floats(0.05, 2))
def test_a_sharper_trial_is_never_worth_less_and_never_more_than_knowing(mean, sd, between, cost, se):
    belief = Belief(mean, sd, between)
    sharp, blunt = (worth.answer_linear(belief, PRICE, cost, s) for s in (se, 2 * se))
    know = 12 * sd * worth.unit_normal_loss(abs(mean - cost / 12) / sd)
    assert 0 <= blunt <= sharp + 1e-12 <= know + 2e-12


def test_seasons_ahead_count_less_the_later_they_are():
    assert Ahead(100, 3, 0.05).weight == pytest.approx(100 * (0.95 + 0.95**2 + 0.95**3))
    assert Ahead(100, 0, 0.05).weight == 0


def test_what_a_comparison_costs():
    # by hand: 2 minutes twice at 30 an hour is 2 a colony; 24 unfed lose 5 each
    grading = Grading(2.0, 2, 30.0)
    feeds = worth.trial_cost((24, 48), grading, 5.0, feeds=True)
    assert (feeds.grading, feeds.unfed, feeds.fed, feeds.total) == (144.0, 120.0, 0.0, 264.0)
    saves = worth.trial_cost((24, 48), grading, -5.0, feeds=True)
    assert saves.total == 24.0
    unfed_anyway = worth.trial_cost((24, 48), grading, -5.0, feeds=False)
    assert (unfed_anyway.unfed, unfed_anyway.fed) == (0.0, 240.0)


def test_a_grading_for_the_draw_is_paid_for_every_colony_of_the_yards_concerned():
    # by hand: 2 minutes at 30 an hour is 1 a colony; 240 for the draw, 72 at the end
    cost = worth.trial_cost((24, 48), Grading(2.0, 1, 30.0), 5.0, feeds=True, before=240)
    assert cost.grading == 312.0
    one = {"grading": Grading(2.0, 1, 20.0)}
    for before in (True, False):
        of = stakes(**one, before=before)
        told = propose_colonies([50] * 8, Noise(3.0, 0.42), ASKED, of, dice(), sizes=(6, 24))
        for size in told.sizes:
            yards = sum(n > 0 for n in size.row.in_yards)
            assert size.before == (50 * yards if before else 0)
            paid = size.before + sum(size.colonies)
            assert size.cost.grading == pytest.approx(paid * 2 / 60 * 20)


def dice() -> np.random.Generator:
    return np.random.default_rng(20261125)


def stakes(belief=None, **other) -> Stakes:
    of = {"ahead": Ahead(400, 3, 0.05), "grading": Grading(2.0, 2, 20.0)} | other
    return Stakes(belief or Belief(1.6, 1.7, 0.5), PRICE, 16.0, **of)


ASKED = Questions(Lines(16 / 12, 0.5), 1.6)


def test_the_proposed_size_is_worth_most_and_its_neighbours_nearly_as_much():
    found = propose_colonies([100] * 4, Noise(3.0, 0.42, 0.05), ASKED, stakes(), dice())
    nets = [one.net for one in found.sizes]
    assert found.proposed.net == max(nets)
    assert found.worth_it
    low, high = found.between
    assert low <= found.proposed.row.check <= high
    for one in found.sizes:
        assert (one.net >= 0.95 * max(nets)) == (
            one.row.check in {found.sizes[i].row.check for i in found.as_good}
        )
    checks = [one.row.check for one in found.sizes]
    assert checks == sorted(checks)
    assert 0 < found.best < len(checks) - 1  # neither the fewest nor the most


def test_an_answer_that_cannot_change_anything_is_worth_no_trial():
    sure = Belief(6.0, 0.2, 0.1)
    found = propose_colonies(
        [40], Noise(3.0, 0.4), ASKED, stakes(sure, ahead=Ahead(40, 3, 0.05)), dice(), sizes=(6, 10)
    )
    assert not found.worth_it
    wide = propose_colonies([400] * 4, Noise(3.0, 0.4), ASKED, stakes(sure), dice())
    assert not wide.worth_it
    told = [one.row.from_zero for one in wide.sizes]
    assert told[wide.best] <= ASKED.believed < min(told[: wide.best])  # the fewest that could tell


def test_where_feeding_is_not_expected_to_pay_the_fed_ones_are_the_cost():
    doubt = stakes(Belief(0.2, 1.0, 0.2))
    assert not doubt.fed_otherwise
    found = propose_colonies([100] * 4, Noise(3.0, 0.4), ASKED, doubt, dice(), sizes=(24,))
    assert found.proposed.cost.fed > 0
    fed_anyway = propose_colonies(
        [100] * 4, Noise(3.0, 0.4), ASKED, stakes(Belief(0.2, 1.0, 0.2), feeds=True), dice(), sizes=(24,)
    )
    assert fed_anyway.proposed.cost.unfed < 0


def test_two_hives_cannot_be_compared():
    with pytest.raises(TrialError):
        propose_colonies([2], Noise(3.0, 0.4), ASKED, stakes(ahead=Ahead(2, 3, 0.05)), dice())


def test_whole_yards_cost_their_colonies_whether_graded_or_not_and_blunt_draws_are_named():
    draws = [YardDraw(k, 8 - k, 10, 3.0, 0.3, 0.4, False) for k in (1, 2, 3, 4)]
    found = propose_yards(draws, [40, 80, 120, 160], ASKED, stakes())
    assert [n for n, _ in found.refused] == [1]
    assert "8 ways" in found.refused[0][1]
    first = found.sizes[0]
    assert first.colonies == (20, 60)
    assert first.cost.unfed == pytest.approx(80 * stakes().expected)
    assert (
        first.answer
        < propose_colonies([40] * 8, Noise(3.0, 0.4), ASKED, stakes(), dice(), sizes=(40,)).proposed.answer
    )


def test_sizes_that_are_tried_are_whole_numbers_a_yard_and_leave_half_fed():
    sizes = check_sizes([100] * 4)
    assert {4, 8, 24, 40} <= set(sizes)
    assert max(sizes) <= 200
    assert check_sizes([3]) == (1,)


@pytest.mark.parametrize(
    "odd", [lambda: Belief(0.0, 0.0, 0.1), lambda: Belief(0.0, 1.0, -0.1), lambda: Ahead(10, 3, 1.0)]
)
def test_what_cannot_be_is_refused(odd):
    with pytest.raises(TrialError):
        odd()
