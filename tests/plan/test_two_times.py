"""A dearth that a flow ends: feed has the belief of the time in which it is eaten, not that of the mean."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.belief.gain import SITUATIONS, gain_draws
from breadline.errors import OurFault
from breadline.knowledge.shelf import load
from breadline.plan.believed import Fade, last_fed, left_over
from breadline.plan.equivalence import FeedWorth, feed_worth, shown
from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.situation import main_situation, other_situations, situations_by_day, stretches
from breadline.plan.tried import tried
from plan.reference_yards import reference
from plan.spring_yard import DAYS, DRAWS, prices, question

DEARTH, SPRING, POLLEN = range(3)
TURNS = 28  # day on which the flow begins
EARLY = Plan("search", (Piece(0, 227.0), Piece(7, 227.0)), interval=7)
LATE = Plan("search", (Piece(35, 227.0), Piece(42, 227.0)), interval=7)
ACROSS = Plan("search", (Piece(14, 454.0), Piece(28, 454.0)), interval=14)


def of(situation, gain, equivalence, remainder):
    each = (np.full(DRAWS, v) for v in (gain, equivalence, remainder))
    return FeedWorth(situation, *each, np.full(DRAWS, True), np.full(DRAWS, 900.0))


def asked(turns, *others):
    """Bees gain by a gram of feed in the dearth; in the flow they lose 10 %."""
    one = question(of=prices(worth=replace(of("dearth", 0.3, 0.6, 0.0), others=others)))
    kind = np.where(np.arange(DAYS) < turns, DEARTH, POLLEN)[:, None]
    return replace(one, ensemble=replace(one.ensemble, situation=kind))


IN_FLOW = of("pollen", -0.1, 0.0, -0.1)


@pytest.fixture(scope="module")
def both():
    """Bees against unfed ones, as logs, where a flow comes and where the dearth goes on."""
    plans = [NOTHING, EARLY, LATE, ACROSS]
    frames = [tried(asked(turns, IN_FLOW), plans, np.arange(DRAWS)).frames for turns in (TURNS, DAYS)]
    return [np.log(one / one[0]) for one in frames]


def test_feed_eaten_in_the_dearth_does_what_is_believed_of_a_dearth(both):
    turned, dearth = both
    same = np.abs(turned[1] - dearth[1]) < 0.01
    assert same.mean() > 0.95, "a few colonies have some of it left when the flow begins"
    assert dearth[1].mean() > 0.02


def test_feed_eaten_in_the_flow_does_what_is_believed_of_a_flow(both):
    """By hand: two pieces all eaten are 454 of the 900 g of the trial, so half of a tenth is lost."""
    turned, dearth = both
    assert (turned[2] < 0).all()
    assert turned[2].mean() == pytest.approx(-0.1 * 454.0 / 900.0, abs=0.015)
    assert dearth[2].mean() > 0.0


def test_feed_eaten_in_both_lies_between(both):
    turned, dearth = both
    less = tried(asked(0, IN_FLOW), [NOTHING, ACROSS], np.arange(DRAWS)).frames
    flow = np.log(less[1] / less[0])
    assert flow.mean() < turned[3].mean() < dearth[3].mean()


def test_a_feed_that_was_drawn_for_one_situation_is_worth_that_in_all():
    one = tried(asked(TURNS), [NOTHING, LATE], np.arange(DRAWS))
    other = tried(asked(DAYS), [NOTHING, LATE], np.arange(DRAWS))
    assert one.frames == pytest.approx(other.frames)


def summer(pollen_from: int):
    """Sixty days from the first of July, in two seasons: one as given, one a fortnight earlier."""
    drivers = reference("dearth", draws=2).drivers
    pollen = np.zeros((84, 5))
    for season in range(5):
        pollen[pollen_from - 14 * (season == 0) :, season] = 0.9
    return replace(drivers, pollen=pollen, flight_h=np.full((84, 5), 8.0))


def test_each_season_turns_from_dearth_to_flow_on_its_own_day():
    by_day = situations_by_day(summer(60), date(2026, 7, 1), load().reader())
    assert (by_day[:58] == DEARTH)[:, 1:].all()
    assert (by_day[70:] == POLLEN).all()
    turns = (by_day == POLLEN).argmax(axis=0)
    assert turns[0] == turns[1] - 14
    assert main_situation(by_day) == "dearth"
    assert other_situations(by_day) == ("poor_spring", "pollen")
    assert other_situations(by_day[:40]) == ()
    assert [kind for _, kind in stretches(by_day)] == ["dearth", "pollen"], "a week between is not told"
    assert stretches(by_day[:40]) == ((0, "dearth"),)


def test_a_rainy_first_day_of_a_flow_is_no_dearth():
    flow = replace(summer(0), pollen=np.full((84, 5), 0.9))
    hours = flow.flight_h.copy()
    hours[0] = 0.0
    by_day = situations_by_day(replace(flow, flight_h=hours), date(2026, 7, 1), load().reader())
    assert (by_day == POLLEN).all()


@pytest.mark.parametrize(("latitude", "start"), [(45.0, date(2027, 1, 10)), (-33.0, date(2027, 7, 10))])
def test_a_winter_without_pollen_is_a_poor_spring_and_no_dearth(latitude, start):
    bare = replace(summer(84), latitude=latitude, pollen=np.zeros((84, 5)))
    assert set(situations_by_day(bare, start, load().reader()).ravel()) == {SPRING}
    assert set(situations_by_day(bare, date(2027, 8 if latitude > 0 else 2, 1), load().reader()).ravel()) == {
        DEARTH
    }


def test_no_day_is_our_fault():
    with pytest.raises(OurFault, match="no day"):
        main_situation(np.zeros((0, 2), dtype=int))


@pytest.mark.parametrize("shift", [(0.05, 0.0), (-0.05, 0.0)])
def test_a_feeds_own_shift_comes_back_from_the_reference_run_and_moves_its_plans(shift):
    reader, draws = load().reader(), 96
    block = reference("dearth", reader=reader, draws=draws)
    plain, moved = (
        feed_worth(block, "dearth", gain_draws("dearth", reader, np.random.default_rng(2), draws, by), reader)
        for by in ((0.0, 0.0), shift)
    )
    unfed = shown(block, np.zeros(draws)).adults
    fed = [shown(block, one.equivalence) for one in (plain, moved)]
    seen = [
        np.log(one.laid_on(f.adults, f.eaten_g) / unfed) for one, f in zip((plain, moved), fed, strict=True)
    ]
    assert seen[1] - seen[0] == pytest.approx(np.full(draws, shift[0]), abs=1e-9)
    frames = [
        tried(question(of=prices(worth=one)), [NOTHING, ACROSS], np.arange(DRAWS)).frames[1].mean()
        for one in (plain, moved)
    ]
    assert (frames[1] - frames[0]) * shift[0] > 0.0


def test_the_order_of_situations_is_that_of_the_beliefs():
    assert SITUATIONS == ("dearth", "poor_spring", "pollen")


def test_a_second_series_in_another_time_takes_nothing_from_the_first():
    """Fed in the dearth, and then again while pollen comes in, where feed does neither good nor harm."""
    idle = of("pollen", 0.0, 0.0, 0.0)
    first = Plan("search", tuple(Piece(d, 454.0) for d in (0, 7, 14)), interval=7)
    both = replace(first, pieces=(*first.pieces, Piece(42, 454.0)), interval=0)
    one = asked(TURNS, idle)
    unfed = np.full(DRAWS, 7.0)
    for asked_of in (one, replace(one, unfed_frames=unfed)):
        frames = tried(asked_of, [NOTHING, first, both], np.arange(DRAWS)).frames
        assert (frames[2] >= 0.999 * frames[1]).mean() > 0.95
        assert frames[1].mean() > 1.01 * frames[0].mean()


def test_what_is_believed_beyond_the_model_fades_from_the_last_piece_of_its_own_time():
    """By hand: a third of the one by day 21, half of the other by day 49, looked at on day 55."""
    kind = np.where(np.arange(DAYS) < TURNS, DEARTH, POLLEN)[:, None]
    plan = Plan("search", (Piece(14, 454.0), Piece(42, 454.0)), interval=7)
    until = last_fed([NOTHING, plan], kind)
    assert until[:, 1, 0].tolist() == [21.0, 0.0, 49.0]
    feed = prices(worth=replace(of("dearth", 0.3, 0.0, 0.3), others=(of("pollen", -0.1, 0.0, -0.1),))).feeds[
        0
    ]
    had = np.zeros((3, 2, 1))
    had[DEARTH, 1], had[POLLEN, 1] = 1 / 3, 1 / 2
    more = left_over([NOTHING, plan], [feed], had, np.zeros(1, dtype=int), until, Fade(55, 60.0))
    by_hand = 0.3 / 3 * np.exp(-34 / 60) - 0.1 / 2 * np.exp(-6 / 60)
    assert np.log(more[:, 0]) == pytest.approx([0.0, by_hand])


def test_draws_that_are_taken_are_taken_in_every_time():
    worth = replace(of("dearth", 0.3, 0.6, 0.0), others=(IN_FLOW,))
    some = worth.take(np.array([0, 0, 5]))
    assert some.in_situation("pollen").gain.shape == some.gain.shape == (3,)
