"""How many more would settle it: by the model, and by lots where those need more."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import product

import numpy as np
import pytest
from scipy import stats

from breadline.trial.classes import LEVEL, Lines
from breadline.trial.colonies import Became, Ended, Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.verdict.answer import Finished, answer
from breadline.verdict.contrast import Contrast
from breadline.verdict.fairness import Conduct
from breadline.verdict.next_season import Lots, more_to_settle, seen_by_lots
from breadline.verdict.permutation import PermutationP
from breadline.verdict.words_next import next_season


@pytest.mark.parametrize("df", [4.0, 30.0, 400.0])
@pytest.mark.parametrize("estimate", [0.9 + 1.2, 0.9 - 0.6])
def test_how_many_more_would_settle_it(estimate, df):
    """By scipy's noncentral t: with as many it is told four times in five, with one fewer not."""
    found, n = more_to_settle(Contrast(estimate, 0.7, df), 0.9, (22, 22)), 22

    def told(colonies):
        times = colonies / n
        reach = stats.t.ppf(0.95, df * times)
        return stats.nct.sf(reach, df * times, abs(estimate - 0.9) / 0.7 * np.sqrt(times))

    assert found.check == found.fed
    assert told(n + found.check) >= 0.80 - 1e-4
    assert told(n + found.check - 1) < 0.80


def test_none_more_would_settle_what_lies_at_the_break_even_and_one_at_least_is_asked():
    assert more_to_settle(Contrast(1.1, 0.7, 30), 0.9, (22, 22)).too_close
    found = more_to_settle(Contrast(-2.1, 0.7, 30), 0.9, (22, 22))
    assert (found.check, found.fed) == (1, 1)


def test_where_lots_hold_it_back_as_many_more_are_asked_as_lots_need():
    """The model would be content with one more; lots, by their own p, are not."""
    found, p = Contrast(2.3, 0.5, 20), PermutationP(2.3, 0.12, 0.9, 0.2, "random draws", 10**9, 99_999)
    assert more_to_settle(found, 0.9, (11, 11)).check == 1
    seen = seen_by_lots(found, 0.9, p)
    assert stats.t.sf((seen.estimate - 0.9) / seen.se, 20) == pytest.approx(0.12)
    assert seen_by_lots(found, 0.9, replace(p, p_above=0.001)) == found  # never nearer than the model has it
    assert more_to_settle(seen, 0.9, (11, 11)).check > 5
    assert more_to_settle(seen_by_lots(found, 0.9, replace(p, p_above=0.45)), 0.9, (11, 11)).too_close


def test_the_least_p_that_lots_can_give_says_how_few_they_are_and_nothing_of_the_difference():
    """Four pairs fall in 16 ways, the one that fell the most striking: p is 1 in 16 whatever it shows."""
    clear, least = Contrast(5.0, 0.5, 3), PermutationP(5.0, 1 / 16, 1.0, 2 / 16, "all arrangements", 16, 0)
    assert seen_by_lots(clear, 0.0, least) == clear
    assert more_to_settle(clear, 0.0, (4, 4), Lots(True)).check == 1  # of 32 ways one is within 5 in 100
    assert seen_by_lots(clear, 0.0, replace(least, p_above=2 / 16)) != clear
    assert seen_by_lots(clear, 0.0, replace(least, draws=99_999)) != clear


# by hand: 5 pairs fall in 32 ways, of which one is within 5 in 100; 2 and 6 in 28, one; 3 and 3 in 20, one;
# 4 and 4 in 70, three; 4 pairs in 16, none
@pytest.mark.parametrize(
    ("in_sets", "units", "ways", "within"),
    [(True, (5, 5), 32, 1), (False, (2, 6), 28, 1), (False, (3, 3), 20, 1), (False, (4, 4), 70, 3),
     (True, (4, 4), 16, 0)],
)  # fmt: skip
def test_few_ways_to_fall_are_a_test_at_less_than_its_level(in_sets, units, ways, within):
    assert Lots(in_sets).level(*units) == pytest.approx(1 - 2 * within / ways)
    assert Lots(in_sets).level(*(10 * n for n in units)) == pytest.approx(LEVEL, abs=1e-3)
    assert Lots(in_sets).level(2_000, 18_000) == LEVEL  # more ways than a number with a point can hold


def test_what_is_promised_of_whole_yards_their_lots_would_tell():
    """Pairs of yards made up with the effect that was seen, by every change of signs: four times in five."""
    pairs, apart = 4, 2.9
    seen = Contrast(apart, 1.0, pairs - 1.0)
    more = more_to_settle(seen, 0.0, (pairs, pairs), Lots(True))
    assert more.check > more_to_settle(seen, 0.0, (pairs, pairs)).check
    rng, drawn = np.random.default_rng(9), pairs + more.check
    differences = rng.normal(size=(4_000, drawn)) + apart / np.sqrt(pairs)
    signs = np.array(list(product((1.0, -1.0), repeat=drawn)))
    p = np.mean(differences @ signs.T >= differences.sum(axis=1)[:, None] - 1e-9, axis=1)
    assert np.mean(p <= 0.05 + 1e-9) > 0.80 - 0.03


@pytest.mark.parametrize(("each", "says"), [(3, "so few colonies could name"), (12, "any sensible number")])
def test_of_few_colonies_it_is_not_said_that_no_number_would_settle_it(each, says):
    """Fed colonies one frame ahead on average, which is the break-even: as near as can be."""
    started, ended = [], []
    for n in range(each):
        for arm in (0, 1):
            tag = f"{n}-{arm}"
            started.append(Started(tag, "Home", "", arm))
            ended.append(Ended(tag, Became.GRADED, 5.0 + n % 3 + arm, date(2026, 11, 12)))
    design = Design(Outcome.FRAMES, CheckArm.SAME_CARE, Unit.COLONY, Allocation.DRAWN, ("check", "fed"), 1,
                    Lines(1.0, 1.0), date(2026, 11, 12), tuple(started), seed=7, staggered=True)  # fmt: skip
    found = answer(Finished(design, tuple(ended), Conduct()), np.random.default_rng(1), 999)
    assert says in next_season(found, design)
    assert "decide on cost and convenience" in next_season(found, design)
