"""What is believed of feeding and survival: on the losses a yard has, never more than they are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import expit, logit

from breadline.belief.gain import SITUATIONS
from breadline.belief.survival_learnt import NOT_APART
from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.surviving import kept, share_of_trial, survival_belief, survival_draws
from breadline.plan.tried import tried
from plan.spring_yard import DRAWS, contract, prices, question, reader

FED = Plan("search", (Piece(0, 454.0), Piece(7, 454.0), Piece(14, 454.0)), interval=7)
ALL = np.arange(DRAWS)
DEARTH = SITUATIONS.index("dearth")


@pytest.fixture(scope="module")
def believed():
    return [survival_draws(prices().feeds[0], survival_belief(reader()))]


def had(plans, share=1.0, at=DEARTH):
    found = np.zeros((len(SITUATIONS), len(plans), DRAWS))
    found[at] = share
    return found


def losing(losses, **more):
    one = question(**more)
    return replace(one, spread=replace(one.spread, losses=losses),
                   survival=survival_belief(reader()))  # fmt: skip


def test_the_belief_is_the_shelf_s_draw_by_draw(believed):
    """Median and 90 % range of each figure, in the order of the belief in bees."""
    for situation, key in (("dearth", "survival_dearth_gain"), ("pollen", "survival_gain")):
        span, of = reader().span(f"belief.{key}"), believed[0][SITUATIONS.index(situation)]
        assert np.quantile(of, (0.05, 0.5, 0.95)) == pytest.approx(
            (span.low, span.typical, span.high), abs=0.03
        )
    gain = prices().feeds[0].worth.gain
    assert (np.diff(believed[0][DEARTH][np.argsort(gain)]) >= 0).all()


def test_a_whole_trial_s_feed_shifts_the_log_odds_by_the_belief(believed):
    found = kept([NOTHING, FED], believed, had([NOTHING, FED]), ALL, 0.8)
    assert (found[0] == 1.0).all()
    assert logit(0.8 * found[1]) == pytest.approx(logit(0.8) + believed[0][DEARTH])


def test_half_of_it_has_half_and_two_situations_have_their_mean(believed):
    half = kept([NOTHING, FED], believed, had([NOTHING, FED], 0.5), ALL, 0.8)
    assert 0.8 * half[1] == pytest.approx(expit(logit(0.8) + believed[0][DEARTH] / 2))
    both = had([NOTHING, FED]) + had([NOTHING, FED], at=SITUATIONS.index("pollen"))
    mean = believed[0][[DEARTH, SITUATIONS.index("pollen")]].mean(0)
    found = kept([NOTHING, FED], believed, both, ALL, 0.8)
    assert 0.8 * found[1] == pytest.approx(expit(logit(0.8) + mean))


@pytest.mark.parametrize("alive", [0.02, 0.5, 0.95, 0.999])
def test_no_more_live_than_there_are_and_none_less_than_none(alive, believed):
    found = kept([NOTHING, FED], [40.0 * believed[0]], had([NOTHING, FED]), ALL, alive)
    assert (alive * found <= 1.0 + 1e-12).all()
    assert (found >= 0.0).all()


def test_a_piece_on_the_eve_saves_nobody_and_half_a_trial_is_half_of_it():
    """The reference run of a dearth is 84 days, of pollen coming in 28; the days are counted by hand."""
    plans = [NOTHING, *(Plan("search", (Piece(start, 454.0),), interval=7) for start in (0, 42, 84))]
    found = share_of_trial(plans, survival_belief(reader()), np.ones((len(SITUATIONS), 4, DRAWS)), 84)
    assert (found[DEARTH, 1:] == np.array([[1.0], [0.5], [0.0]])).all()
    assert (found[SITUATIONS.index("pollen"), 1:] == np.array([[1.0], [1.0], [0.0]])).all()


def test_where_nothing_dies_nothing_can_be_saved():
    done = tried(losing(0.0), [NOTHING, FED], ALL)
    assert (done.kept == 1.0).all()


def test_money_and_chance_go_with_the_colonies_that_live():
    one = losing(0.3)
    done, plain = tried(one, [NOTHING, FED], ALL), tried(replace(one, survival=None), [NOTHING, FED], ALL)
    assert (plain.kept == 1.0).all()
    assert not np.allclose(done.kept[1], 1.0)
    assert done.value == pytest.approx(plain.value * done.kept)
    assert done.making == pytest.approx(plain.making * done.kept)
    assert done.left == pytest.approx(done.kept * (1.0 - done.starved))


def test_a_sample_s_average_does_not_go_by_how_many_are_left():
    one = losing(0.3, target=contract("sample_average"))
    done, plain = tried(one, [NOTHING, FED], ALL), tried(replace(one, survival=None), [NOTHING, FED], ALL)
    assert done.making == pytest.approx(plain.making)
    assert done.value == pytest.approx(plain.value * done.kept)


def test_own_deaths_take_the_place_of_the_shelf_in_their_situation_alone():
    """By hand: a belief of nothing lays nothing on losses; the other situations keep the shelf's."""
    learnt = survival_belief(reader(), {"dearth": NOT_APART})
    draws = survival_draws(prices().feeds[0], learnt)
    assert kept([NOTHING, FED], [draws], had([NOTHING, FED]), ALL, 0.8) == pytest.approx(1.0)
    shelf = survival_draws(prices().feeds[0], survival_belief(reader()))
    pollen = SITUATIONS.index("pollen")
    assert (draws[pollen] == shelf[pollen]).all()
