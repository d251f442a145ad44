"""What combining brings, against sums done by hand and with scipy; who is joined, and how it is told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import lognorm, norm

from breadline.plan.bands import Band
from breadline.plan.by_size import BySize
from breadline.plan.classes import classes, halved
from breadline.plan.combining import Pair, Weak, combined
from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.tried import tried
from breadline.plan.value import Reached, Spread, worth
from plan.spring_yard import contract, dollars, question, reader

PLAN = Plan("search", (Piece(0, 454.0), Piece(14, 454.0)), interval=14)
NONE = (Band(0.0, np.inf, "none", 1.0),)
LINE = (Band(0.0, 2.0, "none", 0.2), Band(2.0, 4.0, "half", 0.3), Band(4.0, np.inf, "full", 0.5))
AVERAGE, LASTS, FEE, GRADE, ALIVE = 4.5, 0.5, 188.0, 7.0, 0.95


def sized(
    wage: float = 0.0, log_sd: float = 0.37, lasts: float = LASTS, paid="hive_by_hive", **more
) -> BySize:
    one = question(contract(paid, GRADE), **more)
    work = replace(one.prices.work, wage=dollars(wage))
    spread = Spread(40, log_sd, 1.0 - ALIVE, 0.15)
    one = replace(one, prices=replace(one.prices, work=work), spread=spread)
    index = one.ensemble.few(60)
    done = tried(one, [NOTHING, halved(PLAN), PLAN], index)
    return BySize(one, done, AVERAGE, lasts, one.ensemble.draw[index])


def weak(*frames: float, beside: float | None = 4.0) -> Weak:
    return Weak(np.array(frames), beside, len(frames))


def by_hand(of: BySize, frames: float, gets: int) -> np.ndarray:
    """A colony's money by season: the fee by scipy's lognormal about what its size today leaves of it."""
    s, r = of.question.spread.log_sd, of.lasts
    z = (np.log(frames / AVERAGE) + s * s / 2) / s  # its rank today, as a score
    middle = of.done.frames[gets] * np.exp(r * s * z - (r * s) ** 2 / 2)
    own = s * np.sqrt(1 - r * r)
    law = lognorm(s=own, scale=middle * np.exp(-own * own / 2))
    costs = of.done.costs
    return FEE * ALIVE * law.sf(GRADE) - (costs.feed + costs.labour + costs.syrup)[gets]


def test_a_pair_by_hand():
    """Both bees in one hive: it does as any of that size, and the other hive is paid nothing."""
    of = sized()
    found = combined(of, weak(1.5, 2.5), NONE, reader())
    gain = by_hand(of, 4.0, 0) - by_hand(of, 1.5, 0) - by_hand(of, 2.5, 0)
    assert found.gain == pytest.approx(gain.mean(), rel=1e-9)
    assert (found.gain_low, found.gain_high) == pytest.approx(tuple(np.quantile(gain, (0.1, 0.9))))
    assert (found.pairs, found.with_next) == (1, False)


def test_each_gets_what_the_crew_s_line_gives_its_size_joined_or_apart():
    of = sized()
    found = combined(of, weak(1.5, 2.5), LINE, reader())
    gain = by_hand(of, 4.0, 2) - by_hand(of, 1.5, 0) - by_hand(of, 2.5, 1)
    assert found.gain == pytest.approx(gain.mean(), rel=1e-9)


def test_pairs_come_by_name_and_the_odd_one_is_left_its_class():
    three = Weak(np.array([1.5, 2.0, 2.5]), 4.0, 3, ("W3", "W5", "W7"), "W9")
    assert combined(sized(), three, LINE, reader()).joined == (Pair(4.0, ("W3", "W7")),)
    alone = Weak(np.array([1.5]), 4.0, 1, ("W3",), "W9")
    assert combined(sized(), alone, LINE, reader()).joined == (Pair(5.5, ("W3", "W9")),)


def test_a_pair_pays_by_more_than_what_two_colonies_are_told_apart_by():
    of = sized()
    gain = combined(of, weak(1.5, 2.5), LINE, reader()).gain
    for close, pays in ((gain / 2.01, True), (gain / 1.99, None)):
        near = replace(of, question=replace(of.question, close=close))
        assert combined(near, weak(1.5, 2.5), LINE, reader()).pays is pays


def test_the_work_is_paid_by_the_hour():
    """By hand: 5 to 30 minutes about 15 are so on the log scale, each half about its own spread."""
    free, paid = (combined(sized(wage), weak(1.5, 2.5), NONE, reader()) for wage in (0.0, 20.0))
    assert paid.minutes == (5.0, 15.0, 30.0)
    below, above = np.log(15 / 5) / 1.645, np.log(30 / 15) / 1.645
    mean = 15 * sum(np.exp(s * s / 2) * norm.cdf(side * s) for s, side in ((below, -1), (above, 1)))
    assert free.gain - paid.gain == pytest.approx(20.0 * mean / 60.0, rel=0.02)
    assert paid.gain_high - paid.gain_low != pytest.approx(free.gain_high - free.gain_low, rel=1e-6)


def test_the_largest_of_them_goes_with_the_smallest_and_a_third_is_left_over():
    of = sized()
    three, two = (combined(of, one, NONE, reader()) for one in (weak(1.5, 2.0, 2.5), weak(1.5, 2.5)))
    assert three.gain == pytest.approx(two.gain)
    assert three.pairs == 1
    assert combined(of, weak(1.0, 1.5, 2.0, 2.5), NONE, reader()).pairs == 2


def test_one_alone_is_joined_with_the_smallest_of_the_others():
    of = sized()
    alone = combined(of, weak(1.5), NONE, reader())
    assert alone.with_next
    gain = by_hand(of, 5.5, 0) - by_hand(of, 1.5, 0) - by_hand(of, 4.0, 0)
    assert alone.gain == pytest.approx(gain.mean(), rel=1e-9)
    assert combined(of, weak(1.5, beside=None), NONE, reader()) is None, "nobody to join it with"
    assert combined(of, Weak(np.array([1.5]), 4.0, 0), NONE, reader()) is None, "not one in such a yard"


def test_two_that_make_it_anyway_lose_a_fee():
    found = combined(sized(), weak(12.0, 12.0), NONE, reader())
    assert found.gain < -0.5 * FEE * ALIVE * found.apart


def test_where_all_colonies_are_alike_there_is_still_an_answer():
    assert np.isfinite(combined(sized(log_sd=0.0), weak(2.0, 2.5), NONE, reader()).gain)


def test_on_a_sample_s_average_the_yard_is_paid_for_one_colony_fewer():
    """Strength that does not last at all: joined or apart all are the average, and only a fee is lost."""
    of = sized(lasts=0.0, paid="sample_average")
    found = combined(of, weak(1.5, 2.5), NONE, reader())
    one = of.done.value[0] - of.costs[0]
    assert found.gain == pytest.approx(-one.mean(), rel=1e-6)
    assert combined(sized(lasts=1.0, paid="sample_average"), weak(1.5, 2.5), NONE, reader()).gain > found.gain


def test_on_a_sample_s_average_the_others_get_what_the_line_gives_them_too():
    """By hand, strength that does not last: only how many get none, half and all of it counts."""
    of = sized(lasts=0.0, paid="sample_average")
    found = combined(of, weak(2.5, 3.0), LINE, reader())
    s, yard = of.question.spread.log_sd, of.question.spread.colonies
    today = lognorm(s=s, scale=AVERAGE * np.exp(-s * s / 2)).ppf((np.arange(48) + 0.5) / 48)
    none, half = yard * np.mean(today < 2.0), yard * np.mean((today >= 2.0) & (today < 4.0))

    def paid(many: np.ndarray) -> np.ndarray:
        at = many @ of.done.frames / many.sum()
        fee = worth(of.question.target, Reached(at, at, np.ones(at.shape)), of.question.spread).money
        return fee * (many @ of.done.left) - many @ of.costs

    apart = np.array([none, half, yard - none - half])
    gain = paid(apart + np.array([0.0, -2.0, 1.0])) - paid(apart)
    assert found.gain == pytest.approx(gain.mean(), rel=1e-9)
    assert half > 2.0, "else it would be the old sum, which gave all of them the most of the line"


def test_the_classes_tell_it_beside_the_colonies_that_are_named():
    one = question(contract(grade=8.0))
    named = classes(one, PLAN, AVERAGE, reader(), [("17", 1.5), ("18", 2.5), ("19", 6.0)])
    assert named.small == ("17", "18")
    assert all(pair == Pair(4.0, ("17", "18")) for pair in named.combine)
    assert (named.combining.pairs, named.combining.with_next) == (1, False)
    by_rank = classes(one, PLAN, AVERAGE, reader())
    share = lognorm(s=0.37, scale=AVERAGE * np.exp(-(0.37**2) / 2)).cdf(by_rank.combine_below)
    assert by_rank.combining.pairs == round(40 * share) // 2
    assert classes(question(contract(grade=3.0)), PLAN, AVERAGE, reader()).combining is None


def test_where_every_hive_was_graded_and_none_is_that_small_nobody_is_combined_by_rank():
    one = question(contract(grade=8.0))
    all_large = [(f"{k}", 5.0 + k / 20) for k in range(one.spread.colonies)]
    who = classes(one, PLAN, AVERAGE, reader(), all_large)
    assert (who.combine_below, who.small, who.combining, who.combine) == (None, (), None, ())
    # of forty with thirty graded, the others may still lie there by rank
    some = classes(one, PLAN, AVERAGE, reader(), all_large[:30])
    share = lognorm(s=0.37, scale=AVERAGE * np.exp(-(0.37**2) / 2)).cdf(some.combine_below)
    assert some.combining.pairs == round(10 * share) // 2


@pytest.mark.parametrize("grade", [6.0, 7.0, 8.0, 12.0])
def test_the_line_is_the_same_whether_combining_pays_and_nobody_is_joined_where_it_does_not(grade):
    one = question(contract(grade=grade))
    dear = replace(one, prices=replace(one.prices, work=replace(one.prices.work, wage=dollars(20_000.0))))
    costly = classes(dear, PLAN, AVERAGE, reader())
    assert costly.combining.gain < 0
    assert not costly.combining.pays
    assert costly.combine == ()
    free = classes(replace(dear, close=-1e9), PLAN, AVERAGE, reader())  # whatever it brings
    assert free.combine == free.combining.joined != ()
    assert costly.bands == free.bands
