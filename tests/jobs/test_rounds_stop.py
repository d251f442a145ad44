"""What stopping saves of a chosen plan: what its sheets have, and no more. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.jobs.kept_back import CheckHive, Kept
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_done import RoundKept
from breadline.jobs.rounds_paper_kept import paper_document
from breadline.jobs.rounds_stop import Left, entrance, left_of, stop_answer
from breadline.jobs.rounds_yard_paper import FeedPaper, YardPaper
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.shelf import load
from breadline.plan.cuts import Patty
from breadline.plan.money import Amount
from breadline.plan.paper import RoundVisit
from breadline.plan.portions import Step
from breadline.plan.stop import Signs, decide, saved
from breadline.trial.design import CheckArm
from breadline.weather.read import read_weather
from house import tree

YARD = read_yard(tree.ROOT / "examples" / "first-rounds" / "yard.toml")  # 40 colonies
DAYS = (date(2026, 1, 20), date(2026, 1, 27), date(2026, 2, 3))
POUND = 453.59237
PATTY = Patty(POUND, "lb")


def plan(counts=(9, 30), colonies=40) -> PlanKept:
    """A quarter patty for 30 of 39 hives, at 1.45 a pound, 2 minutes at 20 an hour, 33.40 a trip."""
    steps = (Step(0.0, 0.0), Step(5.0, 0.25))
    visits = tuple(
        RoundVisit(YARD.name, n, on, steps, counts, PATTY, 6, feed="Patty") for n, on in enumerate(DAYS, 1)
    )
    feed = FeedPaper("Patty", Amount(1.45 / POUND * 1000.0, "US$", 2026), None)
    paper = YardPaper(YARD.name, "US", visits, feed, round_labour=20.0 * 2 / 60, round_travel=33.4)
    rounds = tuple(RoundKept(n, on, POUND / 4, None) for n, on in enumerate(DAYS, 1))
    return PlanKept("", DAYS[0], "", "", "", "Patty", colonies, {}, {}, {}, rounds, (), 0,
                    paper_document(paper))  # fmt: skip


def nobody_asks():
    raise AssertionError("a plan with its sheets needs no plan file")


def test_stopping_saves_what_the_sheets_give_and_no_piece_for_hives_that_get_none():
    left = left_of(plan(), YARD, date(2026, 1, 25), nobody_asks)
    assert (left.rounds, left.colonies) == (2, 30)
    times = left.rounds * left.colonies
    assert times * left.feed_g_each == pytest.approx(2 * 30 * POUND / 4)  # 15 lb, not 20
    assert times * left.cost_each == pytest.approx(15 * 1.45 + 2 * 30 * 0.6667 + 2 * 33.4, abs=0.01)


def test_it_is_of_the_colonies_of_now():
    left = left_of(plan(), replace(YARD, colonies=20), date(2026, 2, 3), nobody_asks)
    assert (left.rounds, left.colonies) == (1, 15)
    assert left.colonies * left.cost_each == pytest.approx(3.75 * 1.45 + 15 * 0.6667 + 33.4, abs=0.01)


def test_a_round_that_was_given_before_its_day_is_left_no_more():
    early = plan()
    second = replace(early.rounds[1], given=POUND / 4, given_on=date(2026, 1, 25))
    early = replace(early, rounds=(early.rounds[0], second, early.rounds[2]))
    left = left_of(early, YARD, date(2026, 1, 25), nobody_asks)
    assert (left.rounds, left.colonies) == (1, 30)
    assert left.colonies * left.feed_g_each == pytest.approx(30 * POUND / 4)
    third = replace(early.rounds[2], given=POUND / 4, given_on=date(2026, 2, 1))
    done = replace(early, rounds=(*early.rounds[:2], third))
    assert left_of(done, YARD, date(2026, 2, 2), nobody_asks) == Left(over=True)


def test_a_round_that_was_given_today_or_some_days_early_is_not_left():
    kept = plan()
    first, second, last = kept.rounds
    early = replace(second, given=POUND / 4, given_on=date(2026, 1, 25))
    left = left_of(replace(kept, rounds=(first, early, last)), YARD, date(2026, 1, 25), nobody_asks)
    assert (left.rounds, left.colonies) == (1, 30)
    assert 30 * left.cost_each == pytest.approx(7.5 * 1.45 + 30 * 0.6667 + 33.4, abs=0.01)
    given = replace(last, given=POUND / 4, given_on=last.on)
    all_given = replace(kept, rounds=(first, early, given))
    assert left_of(all_given, YARD, last.on, nobody_asks) == Left(over=True)


def test_of_a_round_given_in_part_the_other_hives_are_left_until_its_day_is_past():
    """18 of 30 hives of the second round on its day: 12 × ¼ lb and 2 minutes each, no second way there."""
    kept = plan()
    first, second, last = kept.rounds
    part = replace(second, given=POUND / 4, given_on=second.on, hives=18, fed=30, until=date(2026, 1, 30))
    kept = replace(kept, rounds=(first, part, last))
    left = left_of(kept, YARD, second.on, nobody_asks)
    told = saved(left)
    assert told.feed_g == pytest.approx((30 + 12) * POUND / 4)
    assert told.money == pytest.approx(7.5 * 1.45 + 30 * 0.6667 + 33.4 + 3 * 1.45 + 12 * 0.6667, abs=0.02)
    assert told.sentence == (
        "Stopping now saves US$77: 1 round for 30 colonies, and 12 hives of which the round of "
        "27 January 2026 is not written down."
    )
    later = saved(left_of(kept, YARD, date(2026, 1, 29), nobody_asks))
    assert later.money == pytest.approx(7.5 * 1.45 + 30 * 0.6667 + 33.4, abs=0.01)
    assert later.sentence.endswith(
        "12 hives of the round of 27 January 2026 are not counted: nothing says whether they were fed."
    )
    nearly = replace(part, hives=27)  # nine in ten
    done = left_of(replace(kept, rounds=(first, nearly, last)), YARD, second.on, nobody_asks)
    assert (saved(done).money, done.more) == (pytest.approx(later.money), "")


def test_an_overdue_round_is_named_and_not_counted_and_goes_on_is_no_end():
    kept = plan()
    late = replace(kept.rounds[2], until=date(2026, 2, 8))
    left = left_of(replace(kept, rounds=(*kept.rounds[:2], late)), YARD, date(2026, 2, 5), nobody_asks)
    assert saved(left).sentence == (
        "No round was left, so stopping saves nothing. The round of 3 February 2026 is not counted: nothing "
        "says whether it was given."
    )
    goes_on = decide(Signs(entrance(YARD, 250, 2, None, 4), None, None, 0, 6, 3), left, load().reader())
    assert goes_on.sentence == (
        "Go on: no pollen to live on yet. The round of 3 February 2026 is overdue: give it, or write down "
        "what was given."
    )


def test_check_hives_that_get_nothing_are_not_in_it():
    hives = tuple(CheckHive(tag, tag, tag, frames=8.0) for tag in ("A1", "A2", "A3", "A4", "A5"))
    back = Kept(CheckArm.SAME_CARE, 0.0, DAYS[-1], hives, whole=False)
    left = left_of(plan(), YARD, date(2026, 1, 25), nobody_asks, (back,))
    assert (left.rounds, left.colonies) == (2, 25)
    assert left.rounds * left.colonies * left.feed_g_each == pytest.approx(2 * 25 * POUND / 4)


def test_an_old_look_into_the_hives_does_not_keep_the_entrance_from_saying_stop():
    late = replace(YARD, today=date(2026, 3, 20))
    weather = read_weather(tree.ROOT / "examples" / "first-yard" / "weather.csv",
                           latitude=33.9, longitude=-83.4, today=late.today)  # fmt: skip
    signs = Signs(entrance(late, 250, 120, None, 4), None, None, 6, 6, 6)
    told = stop_answer(late, signs, Left(), weather, load())
    assert told.stop.sentence.startswith("Stop: pollen is coming in.")
    assert told.note == (
        "The season model was not run again: the last look into the hives was on 18 January 2026. "
        "Count again."
    )
