"""The search against the whole sum, and what it says of a plan."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from datetime import timedelta
from multiprocessing import get_context

import numpy as np
import pytest

from breadline.errors import PlanError
from breadline.need import season_lanes
from breadline.plan.clears import Clears
from breadline.plan.costs import labour_a_round, travel_a_round
from breadline.plan.flips import flips
from breadline.plan.money import Amount
from breadline.plan.plans import NOTHING, Grid, Piece, Plan, as_last_year, changed, plans_of, weekly
from breadline.plan.ranked import SAME_CHANCE, frontier, ranked
from breadline.plan.ruled_out import Bars
from breadline.plan.search import brute_force, search
from breadline.plan.tree import tree
from breadline.plan.tried import tried
from plan.spring_yard import (
    CLOSE,
    DAYS,
    DRAWS,
    TODAY,
    dollars,
    feed_worth,
    prices,
    question,
    reader,
    some_plans,
    way,
    with_honey,
)

PLANS = some_plans()


@pytest.fixture(scope="module")
def found():
    return search(way(question()), PLANS)


def test_the_best_plan_is_that_of_the_whole_sum(found):
    """In the seasons that plans are chosen in, and over all of them within a hundredth."""
    choosing = way(question()).choosing
    whole, _ = brute_force(way(question()), PLANS, choosing)
    assert found.chosen.plan == found.best.plan
    assert found.chosen.money >= max(whole) - 1e-9
    if found.best.plan in PLANS:
        assert found.best.plan == PLANS[int(np.argmax(whole))]
    assert PLANS[int(np.argmax(whole))] in found.last.plans, "nor did the search lose it on the way"
    everywhere, _ = brute_force(way(question()), PLANS)
    mine = found.last.money[found.last.plans.index(found.best.plan)].mean()
    assert mine >= 0.99 * max(everywhere)


def test_nothing_beside_the_best_plan_is_better(found):
    """One thing changed never brings more, beyond what fewer seasons blur."""
    assert found.beside
    assert all(one.more <= 0.1 for one in found.beside if not one.told.struck)


def test_expected_money_is_the_sum_by_hand_over_every_season(found):
    """Value less feed, labour, travel and sugar, each from the season model run for that plan alone."""
    one = question()
    plan = Plan("search", (Piece(7, 227.0), Piece(21, 227.0)), interval=14)
    done = tried(one, [NOTHING, plan], np.arange(DRAWS))
    work = one.prices.work
    a_round = 2.0 / 60.0 * 20.0 + (20.0 * 0.6 + 0.5 * 20.0) / 40
    assert labour_a_round(work) + travel_a_round(work, 40) == pytest.approx(a_round)
    sugar = done.sugar_g[1] / 1000.0 / 0.6 * 0.75
    by_hand = done.value[1] - 0.454 * 3.2 - 2 * a_round - sugar
    assert done.money[1] == pytest.approx(by_hand)
    assert ranked(done, 1).gain == pytest.approx(float(np.mean(by_hand - done.value[0])))


def test_nothing_costs_nothing_and_is_always_there(found):
    assert PLANS[0] == NOTHING
    assert (found.nothing.cost.total, found.nothing.gain, found.nothing.feed_g) == (0.0, 0.0, 0.0)


def test_the_frontier_is_that_of_comparing_all_with_all():
    done = tried(question(), PLANS, np.arange(DRAWS))
    told = [ranked(done, k) for k in range(len(PLANS))]
    few = frontier(told)
    for one in told:
        beaten = any(o.money >= one.money and o.chance > one.chance + SAME_CHANCE for o in told)
        if one in few:
            assert not beaten
        else:
            assert any(o.money >= one.money and o.chance >= one.chance - SAME_CHANCE for o in few)


def test_same_seasons_same_answer_in_one_part_or_seven(found):
    again = search(way(question(), parts=7), PLANS)
    assert again.best == found.best
    assert again.frontier == found.frontier
    assert np.array_equal(again.last.money, found.last.money)


def test_the_tree_saves_at_least_half():
    grown = tree([plan.way for plan in PLANS], DAYS)
    assert grown.saving >= 1.5
    assert sorted(leg.way for leg in grown.legs if leg.way >= 0) == list(range(len(PLANS)))


def test_a_feed_that_does_nothing_or_harm_leaves_doing_nothing_best():
    harmful = feed_worth(-0.1, 0.05)
    found = search(way(question(of=prices(worth=harmful))), PLANS)
    assert not found.best.plan.pieces
    assert all(one.gain < 0 for one in found.finalists if one.plan.pieces)


def test_the_answer_turns_where_it_says(found):
    assert found.flips.feeding_now
    for at, better in ((0.98, True), (1.02, False)):
        price = 3.2 * found.flips.feed_price * at
        other = search(way(question(of=prices(price))), PLANS)
        assert bool(other.best.plan.pieces) is better
    low = question()
    fee = replace(low.target, fee=Amount(188.0 * found.flips.pays * 0.98, "US$", 2023))
    assert not search(way(replace(low, target=fee)), PLANS).best.plan.pieces


def test_a_weaker_belief_turns_it_where_a_reckoning_with_that_belief_says():
    """The draws weighed anew, against draws of the weaker belief themselves."""
    costly = prices(price=12.0)
    plans = [plan for plan in PLANS if not plan.by_rule and plan.rounds <= 2]
    done = tried(question(of=costly), plans, np.arange(DRAWS))
    at = flips(done, 0, (True,) * len(plans), CLOSE)
    assert at.feeding_now
    assert at.belief is not None
    assert at.belief < at.believed
    now = float((done.money - done.money[0]).mean(1).max())
    weaker = prices(12.0, feed_worth(float(np.log(at.belief) - np.log(at.believed)) + 0.15))
    then = tried(question(of=weaker), plans, np.arange(DRAWS))
    left = float((then.money - then.money[0]).mean(1)[1:].max())
    assert abs(left - CLOSE) < 0.2 * now
    assert not flips(done, 0, (True, *(False,) * (len(plans) - 1)), CLOSE).feeding_now


def test_a_plan_that_empties_the_stores_is_struck_out_with_the_reason():
    found = search(way(with_honey(question(), 3.0)), PLANS)
    assert found.struck
    assert all("out of stores" in one.struck for one in found.struck)
    assert all(not one.struck for one in found.frontier)


def test_a_barred_start_is_shown_but_never_best():
    bars = Bars({0: "hives cannot be opened"})
    found = search(way(question(), bars), PLANS)
    assert found.best.plan.start != 0
    assert found.struck
    assert {one.struck for one in found.struck} == {"hives cannot be opened"}
    assert all(one.plan.start == 0 for one in found.struck)
    assert len(found.struck) == 1, "one of each reason"


def test_a_missed_round_loses_money_where_rounds_matter(found):
    assert len(found.missed) == (found.best.plan.rounds if found.best.plan.rounds > 1 else 0)
    assert all(one.plan.rounds == found.best.plan.rounds - 1 for one in found.missed)
    assert min((one.gain for one in found.missed), default=-1.0) < 0


def test_a_round_missed_in_a_dearth_is_simulated_and_its_loss_is_printed():
    """Large pieces a fortnight apart and no pollen at all: the loss is that of the plan with a gap."""
    from breadline.plan.why import why_best

    bare, plans = (
        question(pollen=0.0),
        [NOTHING, Plan("search", tuple(Piece(d, 454.0) for d in (0, 14, 28)), interval=14)],
    )
    found = search(way(bare), plans)
    best = found.best.plan
    assert best.rounds > 1
    worst = min(range(best.rounds), key=lambda k: found.missed[k].gain)
    assert found.missed[worst].plan == best.without(worst)
    both = tried(bare, [NOTHING, best, best.without(worst)], np.arange(DRAWS))
    lost = float((both.money[1] - both.money[2]).mean())
    assert lost > CLOSE
    said = " ".join(why_best(found, bare, reader()))
    assert f"A round missed costs up to US${lost:.0f} a colony (round {worst + 1} of {best.rounds})." in said


def test_feeding_as_last_year_is_always_compared():
    last = as_last_year((Piece(14, 454.0), Piece(35, 454.0)))
    plans = plans_of(Grid((0, 7), (227.0,), (14,), 3), 0, DAYS - 1, 1, last)
    found = search(way(question()), plans)
    assert found.last_year is not None
    assert found.last_year.plan.pieces == last.pieces


def test_rounds_by_rule_are_left_out_where_pollen_comes_in():
    rich = question(pollen=0.9)
    plan = Plan("search", (Piece(7, 227.0),), by_rule=True)
    done = tried(rich, [NOTHING, plan], np.arange(DRAWS))
    assert (done.rounds[1] == 0).all()
    assert np.array_equal(done.money[1], done.money[0])


def test_where_no_frames_are_foretold_the_unfed_count_carries_the_gain():
    one = question()
    unfed = np.full(DRAWS, 7.0)
    done = tried(replace(one, unfed_frames=unfed), PLANS[:9], np.arange(DRAWS))
    plain = tried(one, PLANS[:9], np.arange(DRAWS))
    assert done.frames[0] == pytest.approx(unfed)
    ratio, believed = plain.frames / plain.frames[0], np.exp(np.maximum(done.gain[0], 0.0))
    assert (done.frames / 7.0 <= np.minimum(ratio, believed) + 1e-9).all(), "never more than is believed"
    lost = done.gain[0] < 0
    assert (done.frames / 7.0)[:, lost] == pytest.approx(ratio[:, lost]), "a loss is a loss"
    whole = Plan("search", tuple(Piece(d, 680.0) for d in range(0, 49, 7)), interval=7)
    fed = tried(replace(one, unfed_frames=unfed), [NOTHING, whole], np.arange(DRAWS))
    assert fed.frames[1].mean() > done.frames[3].mean(), "more feed, more of the gain"


@pytest.mark.parametrize(
    ("grid", "says"),
    [
        (Grid((), (227.0,)), "none given"),
        (Grid((-3,), (227.0,)), "before today"),
        (Grid((0,), ()), "none above 0 g"),
        (Grid((0,), (18000.0,)), "divide by its colonies"),
        (Grid((0,), (227.0,), (0,)), "1 to 60 days"),
        (Grid((0,), (227.0,), most_rounds=0), "1 to 30"),
    ],
)
def test_a_grid_that_cannot_be_says_what_to_mend(grid, says):
    with pytest.raises(PlanError, match=says):
        plans_of(grid, 0, DAYS - 1, 1)


def test_prices_that_cannot_be_say_what_to_mend():
    good = prices()
    with pytest.raises(PlanError, match="none is chosen"):
        replace(good, feeds=()).checked()
    with pytest.raises(PlanError, match="is not a price"):
        prices(price=0.0).checked()
    with pytest.raises(PlanError, match="one money"):
        replace(good, work=replace(good.work, wage=Amount(20.0, "EUR", 2026))).checked()
    with pytest.raises(PlanError, match="divide by 60"):
        replace(good, work=replace(good.work, minutes_colony=120.0)).checked()
    with pytest.raises(PlanError, match="not a year"):
        replace(good, work=replace(good.work, wage=dollars(20.0, 26))).checked()
    with pytest.raises(PlanError, match="nothing to choose from"):
        search(way(question()), [NOTHING])


def test_intervals_of_one_to_four_weeks_are_in_the_grid():
    """Common practice, no source: the next piece after one to four weeks."""
    intervals = Grid((0,), (227.0,)).intervals
    assert (min(intervals), max(intervals)) == (7, 28)
    assert TODAY + timedelta(days=28) > TODAY


def test_two_plans_that_are_the_same_get_the_same_answer():
    twice = [NOTHING, PLANS[5], replace(PLANS[5], kind="missed"), PLANS[9]]
    done = tried(question(), twice, np.arange(DRAWS))
    assert np.array_equal(done.money[1], done.money[2])
    assert not np.array_equal(done.money[1], done.money[3])


def test_far_ahead_a_second_series_after_a_break_is_tried_too():
    """As where size is made from August to October and kept up from the turn of the year."""
    plans = plans_of(Grid((0, 14), (227.0,), (14,), 4, again=140), 0, 188, 1)
    second = [p for p in plans if p.pieces and p.pieces[-1].day >= 140]
    assert second
    for plan in second:
        days = np.diff([piece.day for piece in plan.pieces])
        assert (days > 28).sum() == 1


def test_pieces_are_no_larger_than_what_is_cleared_in_the_interval():
    grid = Grid((0, 7), (113.0, 227.0, 454.0), (7, 14), 4, most_at={7: 227.0})
    plans = plans_of(grid, 0, DAYS - 1, 1)
    largest = {k: max(p.pieces[0].grams for p in plans if p.interval == k) for k in (7, 14)}
    assert largest == {7: 227.0, 14: 454.0}
    bars = Bars({}, clears=Clears(227.0 / 7.0, 1.0, 14, beetles=True))
    assert "not cleared in 7 days" in bars.why(Plan("search", (Piece(0, 454.0), Piece(7, 454.0)), interval=7))
    found = search(way(question(), bars), plans)
    assert all(p.plan.pieces[0].grams <= 227.0 for p in found.finalists if p.plan.interval == 7)


def test_each_feed_has_its_own_pieces_and_another_feed_is_given_in_the_nearest_of_its_own():
    own = ((113.0, 227.0, 454.0), (227.0, 454.0, 907.0))
    plans = plans_of(Grid((0,), own[0], (14,), 3, own_portions_g=own), 0, DAYS - 1, 2)
    for feed in (0, 1):
        assert {p.pieces[0].grams for p in plans if p.pieces and p.feed == feed} == set(own[feed])
    small = Plan("search", (Piece(0, 113.0), Piece(14, 454.0)), feed=0, interval=14)
    others = dict(changed(small, own, 0, DAYS - 1))
    assert [piece.grams for piece in others["the other feed"].pieces] == [227.0, 454.0]
    assert others["the other feed"].feed == 1
    with pytest.raises(PlanError, match="none above 0 g"):
        Grid((0,), own[0], own_portions_g=(own[0], ())).checked()


def test_a_long_time_ahead_does_not_swell_the_search():
    plans = plans_of(Grid(weekly(0, 188), (113.0, 227.0, 340.0, 454.0), again=146), 0, 188, 1)
    assert 1000 < len(plans) < 4500


def test_processes_change_nothing(found):
    with ProcessPoolExecutor(2, mp_context=get_context("fork")) as two:
        again = search(replace(way(question()), spreading=two.map, parts=3), PLANS)
    assert again.best == found.best
    assert np.array_equal(again.last.money, found.last.money)


def test_without_numba_the_answer_is_the_same(found, monkeypatch):
    few = [plan for plan in PLANS if plan.rounds <= 1 and not plan.by_rule]
    quick = search(way(question()), few)
    monkeypatch.setattr(season_lanes, "available", lambda: False)
    slow = search(way(question()), few)
    assert slow.best.plan == quick.best.plan
    assert slow.best.money == pytest.approx(quick.best.money, rel=1e-9)


def test_how_much_better_than_nothing_a_plan_has_to_be_is_a_figure_of_the_shelf():
    """Against a demand that no plan meets, doing nothing is best, and the turning points say so."""
    asks_more = search(way(replace(question(), close=1000.0)), PLANS)
    assert not asks_more.best.plan.pieces
    assert not asks_more.flips.feeding_now
    assert reader().typical("plan.close") == CLOSE
