"""Pieces that lie beside each other: bees eat no more of two than of one, and no gram is eaten twice."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from breadline.knowledge.shelf import load
from breadline.need.season import lived
from breadline.plan.appetite import band
from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.tried import ways_ended
from plan.spring_yard import DAYS, DRAWS, ensemble, feed_worth, prices, question

JUST = 1.0 + 1e-9
PIECES = some.lists(
    some.tuples(some.integers(0, DAYS - 2), some.floats(20.0, 3000.0)), min_size=1, max_size=9
)


def plan_of(pieces: list[tuple[int, float]]) -> Plan:
    """Any days and any masses, some on one day: far more than the grid would lay on."""
    by_day: dict[int, float] = {}
    for day, grams in pieces:
        by_day[day] = by_day.get(day, 0.0) + grams
    return Plan("search", tuple(Piece(day, grams) for day, grams in sorted(by_day.items())))


@settings(max_examples=40, deadline=None)
@given(PIECES, some.sampled_from([-0.1, 0.15, 0.6]), some.sampled_from([0.0, 0.05, 0.4]))
def test_no_more_is_eaten_than_appetite_times_bees_times_days(pieces, gain, pollen):
    """In the very sum of the search: bees from today, each with the most that one eats in its draw."""
    of = question(of=prices(worth=feed_worth(gain)), pollen=pollen)
    plan = plan_of(pieces)
    ends, _ = ways_ended(of, [NOTHING, plan], np.arange(DRAWS))
    most_g = of.ensemble.par.umax / 1000.0 * ends.bee_days[1]
    assert (ends.eaten_g[1] <= most_g * JUST).all()
    assert (ends.eaten_g[1] <= plan.grams * JUST).all(), "and no more than was put on"
    assert not ends.eaten_g[0].any()


@settings(max_examples=40, deadline=None)
@given(PIECES, some.sampled_from([0.0, 0.05, 0.4]))
def test_so_it_is_on_every_single_day_and_what_is_left_stays_to_be_eaten(pieces, pollen):
    block = ensemble(pollen=pollen).block
    put_on = np.zeros(DAYS)
    for day, grams in pieces:
        put_on[day] += grams
    block = replace(block, equivalence=np.full(DRAWS, 0.4), drivers=replace(block.drivers, put_on_g=put_on))
    course = lived(block, ("eaten_g", "adults"))
    lies = np.cumsum(put_on)[:, None] - np.cumsum(course.eaten_g, axis=0)
    assert (course.eaten_g <= block.par.umax / 1000.0 * course.adults * JUST).all()
    assert (lies >= -1e-6).all(), "eaten before it was put on"


def test_two_pieces_at_once_are_eaten_as_one_of_both():
    """And a second piece beside a first that bees have not cleared adds nothing until that is gone."""
    of = question()
    large, twice = Plan("search", (Piece(0, 4000.0),)), Plan("search", (Piece(0, 2000.0), Piece(3, 2000.0)))
    ends, _ = ways_ended(of, [NOTHING, large, twice], np.arange(DRAWS))
    longest = of.ensemble.par.umax / 1000.0 * ends.bee_days[1] * 3.0 / DAYS
    assert (longest < 2000.0).all(), "the first piece lasts to the second in every draw"
    assert ends.eaten_g[2] == pytest.approx(ends.eaten_g[1])
    assert ends.adults[2] == pytest.approx(ends.adults[1])


def test_the_most_that_a_bee_of_the_sum_eats_is_what_bees_were_seen_to_eat():
    """Every draw that ships, against the band of table I of brodschneider2010 that portions go by."""
    shelf = load()
    least, most = band(shelf.reader())
    drawn = ensemble().par.umax
    span = shelf.reader().span("season.umax")
    assert least <= min(drawn.min(), span.low)
    assert max(drawn.max(), span.high) <= most
