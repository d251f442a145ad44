"""Where the answer turns, in the keeper's own words and unit; and what a search may not say."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.errors import PlanError
from breadline.need.yard import Count, Forage, Place, Yard
from breadline.plan.classes import classes
from breadline.plan.crop import crop_power
from breadline.plan.flips import Flips, flips
from breadline.plan.money import about
from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.ranked import ranked
from breadline.plan.ruled_out import first_pollen, start_possible
from breadline.plan.search import search
from breadline.plan.targets import HoneyFlow
from breadline.plan.tried import tried
from breadline.plan.warnings import warnings
from breadline.plan.why import turns
from plan.spring_yard import (
    CLOSE,
    TODAY,
    contract,
    dollars,
    ensemble,
    prices,
    question,
    reader,
    some_plans,
    way,
)

PLAN = Plan("search", (Piece(0, 454.0), Piece(14, 454.0)), interval=14)
AT = Flips(True, 2.0, 0.5, 1.05, 1.16, 0)


def test_one_unit_only_and_a_fee_as_a_fee():
    in_pounds, in_kg = (turns(AT, question(), units) for units in ("lb", "g"))
    assert in_pounds[0] == "Feeding stops paying above US$2.90 a lb of feed; asked: US$1.45 a lb (2026)."
    assert in_kg[0] == "Feeding stops paying above US$6.40 a kg of feed; asked: US$3.20 a kg (2026)."
    assert in_pounds[1] == "It stops paying below US$94 where US$188 is paid now."


def test_of_several_feeds_one_stops_paying_and_not_feeding():
    """The other may pay still: by its own price alone nobody is told to feed no more."""
    of = question()
    other = replace(of.prices.feeds[0], name="Barn mix")
    two = replace(of, prices=replace(of.prices, feeds=(of.prices.feeds[0], other)))
    said = [turns(replace(AT, feed=1, feeding_now=now), two, "lb")[0] for now in (True, False)]
    assert said[0] == "Barn mix stops paying above US$2.90 a lb; asked: US$1.45 a lb (2026)."
    assert said[1] == "Barn mix begins to pay below US$2.90 a lb; asked: US$1.45 a lb (2026)."


def test_nothing_is_said_where_every_plan_is_struck_out():
    done = tried(question(), [NOTHING, PLAN], np.arange(96))
    assert turns(flips(done, 0, (True, False), CLOSE), question(), "lb") == ()


def test_a_belief_at_nothing_is_told_without_nought_per_cent():
    now, then = (
        turns(replace(AT, feeding_now=one, belief=1.003), question(), "lb")[2] for one in (True, False)
    )
    assert now.startswith("It stops paying where feeding adds next to no bees, or costs some, on average")
    assert then.startswith("It begins to pay where feeding adds any bees at all on average")


def test_a_fee_far_off_is_not_told_to_the_cent():
    far = replace(AT, feeding_now=False, pays=760.0)
    assert "many times what the target pays" in " ".join(turns(far, question(), "lb"))


def test_a_draw_that_many_seasons_share_speaks_once():
    """96 seasons hold 4 beliefs: four draws are too few to weigh anew."""
    done = tried(question(), [NOTHING, PLAN], np.arange(96))
    few = replace(done, gain=np.tile(np.array([-0.2, 0.0, 0.2, 0.4]), 24)[None, :])
    assert flips(few, 0, (True, True), CLOSE).belief is None


def test_a_sample_pays_only_where_feeding_lifts_it_over_the_line():
    of = question(contract("sample_average", 5.0))
    done = tried(of, [NOTHING, PLAN], np.arange(96))
    lifted = float((done.making[1] - done.making[0]).clip(0.0).mean())
    assert 0.0 < ranked(done, 1).pays <= lifted
    assert lifted < float((done.money[1] > done.money[0]).mean())


@pytest.mark.parametrize(
    ("amount", "said"), [(3.95, "US$4"), (-3.95, "−US$4"), (0.3, "US$0"), (-0.3, "US$0"), (148.7, "US$150")]
)
def test_money_of_a_search_is_whole(amount, said):
    assert about(amount, "US$") == said


def test_a_spring_that_is_usual_for_a_yard_is_not_a_starved_one():
    """Ten springs alike and one with half of their pollen: the one alone has its lead in the honey."""
    shelf, some = reader(), ensemble()
    flow = HoneyFlow(date(2027, 3, 20), date(2027, 3, 28), 20.0, dollars(4.0))
    for usual in (0.3, 0.6):
        springs = np.tile(np.array([usual] * 10 + [usual / 2]), (some.days, 1))
        power = crop_power(flow, replace(some, pollen_in=springs), shelf)
        assert len(set(power[:10])) == 1
        assert power[10] > power[0]


def test_the_truck_drives_as_far_for_half_of_the_colonies():
    """Travel is the yard's: what sorting saves does not grow with the miles."""
    near, far = (
        replace(question(contract(grade=6.0)), prices=replace(p, work=replace(p.work, miles=miles)))
        for p in (question().prices,)
        for miles in (1.0, 20.0)
    )
    one, other = (classes(of, PLAN, 4.5, reader()) for of in (near, far))
    assert other.more == pytest.approx(one.more)
    assert 0.0 < other.over_none < one.over_none


def test_plenty_seen_today_is_reliable_pollen():
    some = ensemble()
    yard = Yard("made up", Place(38.0), 40, TODAY, Count(TODAY, 0.1, "frames", 5.0, "one_layer"))
    seen = replace(yard, forage=Forage(coming_in="plenty"))
    assert first_pollen(seen, some, reader()) == TODAY
    assert first_pollen(yard, some, reader()) != TODAY


def test_a_round_that_falls_into_the_flow_is_warned_of():
    found = search(way(question(of=prices(0.01))), some_plans())
    assert found.best.plan.pieces
    yard = Yard("made up", Place(38.0), 40, TODAY, Count(TODAY, 0.1, "frames", 5.0, "one_layer"))
    flow = HoneyFlow(TODAY, date(2027, 3, 28), 20.0, dollars(4.0))
    assert "honey that is sold" in " ".join(warnings(yard, flow, found, ensemble()))
    assert "honey that is sold" not in " ".join(warnings(yard, contract(), found, ensemble()))


def test_hives_that_stay_shut_are_told_in_the_yards_own_degrees():
    cold = ensemble(tmax=4.0)
    with pytest.raises(PlanError, match="50 °F"):
        start_possible(cold, 0, reader(), "US")
    with pytest.raises(PlanError, match="of 10 °C or more"):
        start_possible(cold, 0, reader(), "DE")


def test_feed_that_would_bring_a_little_for_nothing_is_not_said_to_bring_none():
    little, none = (
        turns(replace(AT, feeding_now=False, feed_price=None, free=free), question(), "lb")[0]
        for free in (0.4, -2.0)
    )
    assert little.startswith(f"Even for nothing feed would bring {about(0.4, 'US$')} a colony, less than")
    assert none == "At no price of feed does a plan pay here, not even for nothing."


def test_what_free_feed_brings_is_what_the_plans_bring_before_the_feed_is_paid():
    done = tried(question(), [NOTHING, PLAN], np.arange(96))
    of = flips(done, 0, (True, True), CLOSE)
    bought = done.costs.feed[1].mean()
    assert of.free == pytest.approx((done.money[1] - done.money[0]).mean() + bought)


def test_no_price_is_said_of_the_plans_that_are_left_where_one_struck_out_would_pay():
    nowhere = replace(AT, feeding_now=False, feed_price=None, free=0.0)
    assert turns(nowhere, question(), "lb")[0].startswith("At no price of feed does a plan pay here")
    left = turns(nowhere, question(), "lb", struck_pays=True)[0]
    assert left.startswith("Of the plans that are not struck out none pays")
