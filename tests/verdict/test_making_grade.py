"""The share making grade: by fitted frames, counted beside it, and the weaker of both said."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from breadline.plan.money import Amount
from breadline.plan.targets import Frames
from breadline.trial.classes import AnswerClass, Lines
from breadline.trial.colonies import Became
from breadline.trial.design import Outcome
from breadline.trial.value_path import MakingGrade, fitted_strengths
from breadline.verdict import making_grade
from breadline.verdict.ends_of import ends_of
from breadline.verdict.making_grade import made_grade
from breadline.verdict.next_season import more_to_settle
from breadline.verdict.words_next import next_season
from tests.verdict.finished_trials import DAY, became, judged, trial

FEE = Amount(188.0, "US$", 2023)


def graded_trial(gain=1.5, grade=9.0):
    one = trial(gain, 1.2, yards=5, a_yard=24)
    one = became(one, ["T0", "T2", "T4", "T1"], Became.DEAD)
    settled = replace(one.design, outcome=Outcome.MAKING_GRADE, grade=grade, lines=Lines(0.4, 0.3))
    known = ends_of(settled, one.ended).known
    check = fitted_strengths(known.outcome[known.arm == 0])
    path = MakingGrade(Frames(DAY, grade, FEE, "hive_by_hive"), check, 120, 1.0)
    return replace(one, design=settled, grade_path=path)


def made(one):
    return made_grade(one.design, ends_of(one.design, one.ended), one.grade_path, np.random.default_rng(2))


def test_the_share_is_the_living_above_the_line_times_those_that_live():
    """By hand: a lognormal with the mean of the living and the spread of their logs; the dead make none."""
    one = graded_trial()
    known = ends_of(one.design, one.ended).known
    for arm, told in ((0, made(one).check), (1, made(one).fed)):
        frames = known.outcome[known.arm == arm]
        living = frames[frames > 0]
        spread = np.std(np.log(living), ddof=1)
        above = stats.norm.sf((np.log(9.0) - np.log(living.mean()) + spread**2 / 2) / spread)
        assert told == pytest.approx(above * len(living) / len(frames), abs=0.005)


def test_money_is_the_fee_times_the_colonies_more_that_make_it():
    found = made(graded_trial())
    assert found.money.middle == pytest.approx(188 * found.more.middle, rel=0.02)
    assert found.more.low < found.more.middle < found.more.high


def test_the_counted_share_stands_beside_it_and_is_wider():
    found = made(graded_trial())
    low, high = found.raw.interval(0.9)
    assert low < found.raw_fed - found.raw_check + 0.1
    assert high - low > found.more.high - found.more.low


def test_where_the_counted_share_says_less_the_weaker_class_is_said():
    one = graded_trial(grade=6.0)  # a line that nearly every living colony makes
    found = judged(one)
    assert found.here.given is AnswerClass.PAID
    assert found.grade.given is AnswerClass.TOO_FEW
    assert (found.given, found.weakened) == (AnswerClass.TOO_FEW, "share")


def test_without_a_price_the_frames_alone_decide():
    assert judged(replace(graded_trial(), grade_path=None)).grade is None


@pytest.mark.parametrize("cost", [1.0, 20.0, 45.0, 60.0, 75.0])
def test_the_class_never_says_paid_where_the_money_does_not(cost):
    """And never that it did not pay where its money may be above the cost."""
    one = graded_trial(1.0, grade=9.0)
    line = one.grade_path.break_even(cost)
    found = judged(replace(one, grade_cost=cost, design=replace(one.design, lines=Lines(line, 0.3))))
    if found.given is AnswerClass.PAID:
        assert found.grade.money.low > cost
    if found.given.value in "CDEF":
        assert found.grade.money.high < cost


def test_where_the_counted_share_says_less_it_is_what_more_colonies_have_to_settle():
    one = graded_trial(gain=0.8)
    found = judged(one)
    assert found.weakened == "share"
    raw, groups = found.grade.raw, (found.arms[0].started, found.arms[1].started)
    wanted = more_to_settle(raw, found.grade.needed, groups)
    by_frames = more_to_settle(found.here.contrast, one.design.lines.break_even, groups)
    assert wanted.check > by_frames.check
    said = next_season(found, one.design)
    assert said.startswith("About ")
    assert int(said.split()[1].replace(",", "")) >= max(wanted.check, wanted.fed)


def test_where_the_money_holds_it_back_it_is_the_money_that_more_colonies_have_to_settle():
    """By hand: 2.49 standard errors tell it four times in five; one is half the range by 1.645."""
    one, cost = graded_trial(1.0), 75.0
    one = replace(one, design=replace(one.design, lines=Lines(one.grade_path.break_even(cost), 0.3)))
    found = judged(replace(one, grade_cost=cost))
    assert found.weakened == "money"
    money, groups = found.grade.money, (found.arms[0].started, found.arms[1].started)
    assert money.middle < cost < money.high
    apart = (cost - money.middle) / ((money.high - money.middle) / 1.645)
    by_hand = groups[0] * ((1.645 + 0.842) ** 2 / apart**2 - 1.0)
    said = next_season(found, one.design)
    assert int(re.match(r"About ([\d,]+) pairs", said)[1].replace(",", "")) == pytest.approx(by_hand, rel=0.1)
    others = ((found.here.contrast, one.design.lines.break_even), (found.grade.raw, found.grade.needed))
    assert all(more_to_settle(*reading, groups).check < by_hand for reading in others)


@pytest.mark.parametrize("arm", [0, 1])
def test_a_group_that_died_whole_makes_no_grade_and_is_answered(arm):
    one = graded_trial()
    tags = [s.tag for s in one.design.started if s.arm == arm]
    found = judged(became(one, tags, Became.DEAD))
    assert found.here is not None
    assert (found.grade.check, found.grade.fed)[arm] == pytest.approx(0.0, abs=1e-5)


@pytest.mark.parametrize("units", [4, 6, 20, 200])
def test_few_units_drawn_again_give_the_range_that_their_mean_has(units):
    """Draws with replacement spread a mean by (n - 1)/n of its own variance; its range is Student's t's."""
    grid = (np.arange(200_000) + 0.5) / 200_000
    drawn = stats.norm.ppf(grid) * np.sqrt((units - 1) / units)
    found = making_grade._range(drawn, 0.0, units)
    assert found.high == pytest.approx(stats.t.ppf(0.95, units - 1), rel=0.002)
    assert found.low == pytest.approx(-found.high)
