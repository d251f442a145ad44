"""Brood, weight, honey and feed eaten: the same analysis as the answer, and nothing is decided by it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.trial.colonies import Also, Became
from breadline.trial.design import Outcome
from breadline.verdict.described import Measured, described, eaten
from breadline.verdict.ends_of import ends_of
from breadline.verdict.words_described import described_line, eaten_lines, which_line
from tests.verdict.finished_trials import became, judged, trial, whole_yards


def with_also(one, read):
    """The same trial, ``read`` giving what else was read of a tag's number, arm and frames."""
    arm = {s.tag: s.arm for s in one.design.started}
    rows = tuple(replace(e, also=read(int(e.tag[1:]), arm[e.tag], e.outcome or 0.0)) for e in one.ended)
    return replace(one, ended=rows)


def told(one):
    return described(one.design, ends_of(one.design, one.ended), np.random.default_rng(1))


@pytest.mark.parametrize("plain", [trial(), whole_yards()], ids=["colonies", "whole yards"])
def test_a_measure_that_is_the_outcome_itself_gives_the_answer_itself(plain):
    plain = became(plain, ["T3", "T10"], Became.DEAD)
    one = with_also(plain, lambda n, arm, frames: Also(brood=frames))
    (found,) = told(one)
    here = judged(plain).here
    assert (found.estimate, found.low, found.high) == pytest.approx(
        (here.contrast.estimate, here.low, here.high)
    )
    assert (found.what, found.read, found.of) == (Measured.BROOD, len(one.ended), len(one.ended))


def test_its_own_reading_before_the_draw_takes_its_spread_away():
    """Hives of 30 kg give or take 5, and 2 kg more where fed, give or take 0.1."""
    rng = np.random.default_rng(8)
    before, chance = rng.normal(30, 5, 40), rng.normal(0, 0.1, 40)
    after = [before[n] + 2 * (n % 2) + chance[n] for n in range(40)]
    one = with_also(trial(), lambda n, arm, frames: Also(weight=after[n], weight_before=before[n]))
    (found,) = told(one)
    assert found.estimate == pytest.approx(2.0, abs=0.1)
    assert found.high - found.low < 0.2
    (blunt,) = told(with_also(trial(), lambda n, arm, frames: Also(weight=after[n])))
    assert blunt.high - blunt.low > 2.0


def test_an_empty_hive_weighs_too_so_weight_is_of_living_ones():
    one = became(trial(), ["T0", "T2", "T5"], Became.DEAD)
    one = with_also(one, lambda n, arm, frames: Also(weight=20.0 + arm + 0.1 * (n % 4)))
    (found,) = told(one)
    assert (found.read, found.of) == (37, 37)
    assert found.estimate == pytest.approx(1.1, abs=0.3)


def test_colonies_without_a_reading_are_left_out_and_counted():
    one = with_also(trial(), lambda n, arm, frames: Also(brood=frames if n % 20 else None))
    (found,) = told(one)
    assert (found.read, found.of) == (38, 40)
    assert "38 of 40 colonies read" in described_line(found)


@pytest.mark.parametrize("what", ["brood", "honey"])
def test_lost_colonies_all_known_beside_living_ones_read_in_part_are_no_difference(what):
    """Half of the check group dies and one in three of its living is read: 10 zeros beside 3 readings."""
    plain = became(trial(), [f"T{n}" for n in range(0, 20, 2)], Became.DEAD)
    one = with_also(plain, lambda n, arm, frames: Also(**{what: 5.0 if arm or n % 3 == 0 else None}))
    (found,) = told(one)
    assert found.living == ((3, 10), (20, 20))
    assert (found.estimate, found.low, found.high) == (None, None, None)
    assert found.check == found.fed == 5.0  # of those read, alive
    line = described_line(found)
    assert "read of 20 of 20 living fed and 3 of 10 living check colonies, too few" in line
    assert "lost colonies as 0" not in line


def test_where_the_living_are_read_the_lost_count_as_0():
    plain = became(trial(), [f"T{n}" for n in range(0, 20, 2)], Became.DEAD)
    (found,) = told(with_also(plain, lambda n, arm, frames: Also(brood=5.0 + 0.1 * (n % 4))))
    assert (found.read, found.of, found.living) == (40, 40, ((10, 10), (20, 20)))
    assert found.check == pytest.approx(sum(5.0 + 0.1 * (n % 4) for n in range(20, 40, 2)) / 20)


def test_what_nobody_read_is_not_described():
    assert told(trial()) == ()
    only_fed = with_also(trial(), lambda n, arm, frames: Also(brood=frames if arm else None))
    assert told(only_fed) == ()
    honey = with_also(trial(outcome=Outcome.HONEY), lambda n, arm, frames: Also(honey=frames))
    assert told(honey) == ()  # it is what the answer is about


def test_feed_eaten_is_a_mean_and_a_range_and_no_comparison():
    one = with_also(trial(), lambda n, arm, frames: Also(eaten=400.0 + n) if arm else Also())
    (fed,) = eaten(one.design, ends_of(one.design, one.ended))
    assert (fed.arm, fed.read, fed.least, fed.mean, fed.most) == ("fed", 20, 401.0, 420.0, 439.0)
    (line,) = eaten_lines((fed,))
    assert "fed 420 g (0.9 lb) a colony, 401 to 439 g, 20 read" in line
    assert "nothing follows from it" in line


def test_ranges_beside_the_answer_say_that_they_are_read_beside_nothing_alone():
    one = with_also(trial(), lambda n, arm, frames: Also(brood=frames / 2, weight=20 + n % 7))
    (said,) = which_line(told(one))
    assert "Nobody settled what brood or weight would have to add to pay" in said
    assert "read beside 0 alone" in said
    assert which_line(()) == ()
    few = with_also(trial(), lambda n, arm, frames: Also(brood=frames / 2) if n % 3 else Also())
    assert [one.estimate for one in told(few)] == [None]
    assert which_line(told(few)) == (), "no range was told, so none is read"
