"""What combining brings, against sums done by hand and with scipy; who is joined, and how it is told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import lognorm

from breadline.plan.by_size import BySize
from breadline.plan.classes import classes, halved
from breadline.plan.combining import Combined, Weak, combined, combining_words
from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.tried import tried
from breadline.plan.value import Spread
from plan.spring_yard import contract, dollars, question, reader

PLAN = Plan("search", (Piece(0, 454.0), Piece(14, 454.0)), interval=14)
AVERAGE, LASTS, FEE, GRADE, ALIVE = 4.5, 0.5, 188.0, 7.0, 0.95


def sized(
    wage: float = 0.0, log_sd: float = 0.37, lasts: float = LASTS, paid="hive_by_hive", **more
) -> BySize:
    one = question(contract(paid, GRADE), **more)
    work = replace(one.prices.work, wage=dollars(wage))
    spread = Spread(40, log_sd, 1.0 - ALIVE, 0.15)
    one = replace(one, prices=replace(one.prices, work=work), spread=spread)
    return BySize(one, tried(one, [NOTHING, halved(PLAN), PLAN], one.ensemble.few(60)), AVERAGE, lasts)


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
    found = combined(of, weak(1.5, 2.5), [0], reader())
    gain = by_hand(of, 4.0, 0) - by_hand(of, 1.5, 0) - by_hand(of, 2.5, 0)
    assert found.gain == pytest.approx(gain.mean(), rel=1e-9)
    assert (found.gain_low, found.gain_high) == pytest.approx(tuple(np.quantile(gain, (0.1, 0.9))))
    assert (found.pairs, found.with_next) == (1, False)


def test_each_gets_what_brings_most_joined_or_apart():
    of = sized()
    found = combined(of, weak(1.5, 2.5), [0, 1, 2], reader())
    best = [max((by_hand(of, f, c) for c in (0, 1, 2)), key=np.mean) for f in (4.0, 1.5, 2.5)]
    assert found.gain == pytest.approx((best[0] - best[1] - best[2]).mean(), rel=1e-9)


def test_the_work_is_paid_by_the_hour():
    free, paid = (combined(sized(wage), weak(1.5, 2.5), [0], reader()) for wage in (0.0, 20.0))
    assert free.gain - paid.gain == pytest.approx(20.0 * paid.minutes / 60.0)


def test_the_largest_of_them_goes_with_the_smallest_and_a_third_is_left_over():
    of = sized()
    three, two = (combined(of, one, [0], reader()) for one in (weak(1.5, 2.0, 2.5), weak(1.5, 2.5)))
    assert three.gain == pytest.approx(two.gain)
    assert three.pairs == 1
    assert combined(of, weak(1.0, 1.5, 2.0, 2.5), [0], reader()).pairs == 2


def test_one_alone_is_joined_with_the_smallest_of_the_others():
    of = sized()
    alone = combined(of, weak(1.5), [0], reader())
    assert alone.with_next
    gain = by_hand(of, 5.5, 0) - by_hand(of, 1.5, 0) - by_hand(of, 4.0, 0)
    assert alone.gain == pytest.approx(gain.mean(), rel=1e-9)
    assert combined(of, weak(1.5, beside=None), [0], reader()) is None, "nobody to join it with"
    assert combined(of, Weak(np.array([1.5]), 4.0, 0), [0], reader()) is None, "not one in such a yard"


def test_two_that_make_it_anyway_lose_a_fee():
    found = combined(sized(), weak(12.0, 12.0), [0], reader())
    assert found.gain < -0.5 * FEE * ALIVE * found.apart


def test_where_all_colonies_are_alike_there_is_still_an_answer():
    assert np.isfinite(combined(sized(log_sd=0.0), weak(2.0, 2.5), [0], reader()).gain)


def test_on_a_sample_s_average_the_yard_is_paid_for_one_colony_fewer():
    """Strength that does not last at all: joined or apart all are the average, and only a fee is lost."""
    of = sized(lasts=0.0, paid="sample_average")
    found = combined(of, weak(1.5, 2.5), [0], reader())
    one = of.done.value[0] - of.costs[0]
    assert found.gain == pytest.approx(-one.mean(), rel=1e-6)
    assert combined(sized(lasts=1.0, paid="sample_average"), weak(1.5, 2.5), [0], reader()).gain > found.gain


def test_the_classes_tell_it_beside_the_colonies_that_are_named():
    one = question(contract(grade=8.0))
    named = classes(one, PLAN, AVERAGE, reader(), [("17", 1.5), ("18", 2.5), ("19", 6.0)])
    assert named.combine == ("17", "18")
    assert (named.combining.pairs, named.combining.with_next) == (1, False)
    by_rank = classes(one, PLAN, AVERAGE, reader())
    share = lognorm(s=0.37, scale=AVERAGE * np.exp(-(0.37**2) / 2)).cdf(by_rank.combine_below)
    assert by_rank.combining.pairs == round(40 * share) // 2
    assert classes(question(contract(grade=3.0)), PLAN, AVERAGE, reader()).combining is None


def test_in_words():
    of = Combined(3, False, 20.0, 5.0, 40.0, 0.3, 0.05, 15.0)
    said = combining_words(of, "US$20", "US$5", "US$40", pays=True)
    assert said.startswith("Combining them two and two would bring about US$20 a pair more than leaving them "
                           "apart (8 seasons in 10: US$5 to US$40, 3 pairs)")  # fmt: skip
    assert "the hive given up as worth nothing, the work as 15 minutes" in said
    assert "costs about US$20 a pair more than it brings" in combining_words(of, "US$20", "", "", pays=False)
    assert "brings about what it costs" in combining_words(of, "US$20", "", "", pays=None)
    alone = combining_words(replace(of, with_next=True), "US$20", "", "", pays=True)
    assert alone.startswith("Joining one with the smallest of the others")
