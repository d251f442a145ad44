"""How long pieces lie and what of them is cleared; who gets how much of a piece where beetles are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.plan.bands import GETS, class_of
from breadline.plan.classes import Giving, classes
from breadline.plan.clears import Clears, lying_days
from breadline.plan.plans import NOTHING, Piece, Plan, as_last_year, changed
from breadline.plan.ruled_out import Bars
from plan.spring_yard import DAYS, contract, question, reader

POUND, QUARTER = 454.0, 113.5
SIX_DAYS = Clears(4.0, 6.0, 6, beetles=True)  # 6 frames clear 24 g a day, in 6 days 144 g
EVEN = Plan("search", (Piece(0, POUND), Piece(14, POUND)), interval=14)


def of(*days: int, grams: float = POUND) -> Plan:
    return as_last_year(tuple(Piece(day, grams) for day in days))


@pytest.mark.parametrize(
    ("plan", "days"),
    [(of(3, 13, 34), (10, 21, 21)), (EVEN, (14, 14)), (of(3), (60,)), (NOTHING, ())],
)
def test_a_piece_lies_to_the_next_round_and_the_last_as_long_as_the_one_before_it(plan, days):
    assert lying_days(plan) == days


def test_last_years_pound_is_struck_out_where_a_quarter_is_cleared():
    bars = Bars({}, clears=SIX_DAYS)
    assert bars.why(of(3, 17)) == "a piece so large is not cleared in 6 days"
    assert bars.why(of(3)) == "a piece so large is not cleared in 6 days", "a round alone lies too"
    assert not bars.why(of(3, 17, grams=QUARTER))
    assert not bars.why(NOTHING)


def test_the_shortest_gap_decides_before_the_limit():
    """24 g a day: a pound, 454 g, takes 19 days, so it is gone in 20 and not in 14."""
    slow = replace(SIX_DAYS, limit_days=40)
    assert not Bars({}, clears=slow).why(of(0, 20, 40))
    assert Bars({}, clears=slow).why(of(0, 20, 34)) == "a piece so large is not cleared in 14 days"
    elsewhere = Bars({}, clears=replace(slow, beetles=False))
    assert not elsewhere.why(of(0, 20, 34)), "no beetles: what is left is eaten beside the next"
    assert elsewhere.why(of(0, 20, 34, grams=3 * POUND)) == "a piece so large is not cleared in 40 days"
    assert not Bars({}).why(of(0, 1)), "where nothing is known of it, nothing is struck out"


def test_what_is_left_lies_beside_the_next_piece_and_adds_up():
    """24 g a day: of a pound 334 g are left after 5 days, then 668; after 5 more and a break of 40 none."""
    slow = replace(SIX_DAYS, limit_days=40, beetles=False)
    assert slow.left_beside(of(0, 5)) == pytest.approx(POUND - 120.0)
    assert slow.left_beside(of(0, 5, 10)) == pytest.approx(2 * (POUND - 120.0))
    assert slow.left_beside(of(0, 5, 45)) == pytest.approx(POUND - 120.0), "what it was at most"
    assert slow.left_beside(of(0, 20)) == slow.left_beside(of(3)) == slow.left_beside(NOTHING) == 0.0


def test_a_plan_that_was_changed_is_no_longer_last_years():
    kinds = {plan.kind for _, plan in changed(of(7, 21), ((QUARTER, POUND, 2 * POUND),), 0, DAYS - 1)}
    assert kinds == {"search"}


def test_a_round_more_of_rounds_that_are_not_even_follows_as_the_last_one_did():
    more = dict(changed(of(0, 10, 24), ((POUND,),), 0, DAYS - 1))["one round more"]
    assert [piece.day for piece in more.pieces] == [0, 10, 24, 38]
    assert more.interval == 0, "they are still not even"


def test_no_class_gets_more_than_its_smallest_colony_clears():
    """4 g a frame and day, 14 days: half a pound takes 4.05 frames, so 4½; a pound 8.1, so 8½."""
    may = Clears(4.0, 6.0, 14, beetles=True)
    assert [may.from_frames(EVEN, share) for share in (0.5, 1.0)] == [4.5, 8.5]
    assert replace(may, least_frames=5.0).from_frames(EVEN, 0.5) == 5.0
    who = classes(question(contract(grade=7.0)), EVEN, 6.0, reader(), (), Giving(may))
    free = classes(question(contract(grade=7.0)), EVEN, 6.0, reader())
    least = dict(zip(GETS, (0.0, 4.5, 8.5), strict=True))
    assert any(band.from_frames < least[band.gets] for band in free.bands), "else this shows nothing"
    assert all(band.from_frames >= least[band.gets] for band in who.bands)
    assert who.over_none <= free.over_none + 1e-9
    most = {band.gets: band.from_frames for band in who.at_most}
    assert most == {"none": 0.0, "half": 4.5, "full": 8.5}


def test_a_small_graded_hive_gets_none_though_no_colony_of_even_rank_is_so_small():
    """Sixteen frames in the mean, alike; a hive of 2½ was graded, and under 5 none is to lie."""
    alike = replace(question(contract(grade=7.0)), spread=replace(question().spread, log_sd=0.1))
    may = Clears(40.0, 16.0, 14, beetles=True, least_frames=5.0)
    who = classes(alike, EVEN, 16.0, reader(), (("A", 2.5),), Giving(may, as_named=True))
    assert [(band.gets, band.from_frames) for band in who.at_most] == [("none", 0.0), ("full", 5.0)]
    assert who.bands == who.at_most
    assert who.bands[0].share == 0.0
    assert class_of(who.bands, np.array([2.5, 16.0])).tolist() == [0, 2]
    without = classes(alike, EVEN, 16.0, reader(), (), Giving(may, as_named=True))
    assert [band.gets for band in without.at_most] == ["full"], "nobody is so small, nothing to remember"


def test_where_no_beetles_are_nothing_is_taken_from_small_colonies():
    none = Clears(4.0, 6.0, 14)
    of_all = classes(question(contract(grade=7.0)), EVEN, 6.0, reader(), (), Giving(none))
    assert of_all.bands == classes(question(contract(grade=7.0)), EVEN, 6.0, reader()).bands


def test_who_will_not_make_it_goes_by_what_its_size_may_get():
    """A pound that a small colony may not have brings it nowhere."""
    named = [(f"{frames:g}", frames) for frames in (2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 8.0)]
    of_yard = question(contract(grade=6.0))
    free = classes(of_yard, EVEN, 6.0, reader(), named)
    kept = classes(of_yard, EVEN, 6.0, reader(), named, Giving(Clears(4.0, 6.0, 6, True, 5.0)))
    assert set(free.small) < set(kept.small)
