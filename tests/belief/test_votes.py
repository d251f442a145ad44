"""Verdicts read as intervals: against a closed form, against moving evidence, and the words of caution."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.belief.votes import Rules, of_shelf, part, pooled, rules, wary
from breadline.knowledge.evidence import Comparison, comparisons
from breadline.knowledge.shelf import load

ONE = comparisons()[0]
BY = Rules(0.4, 6.0, 1.96, 1.0, 0.5, 1e-3)  # next to no spread between trials, as the closed form has it


def trial(verdict: str, colonies: int | None = 18, key: str = "a", **means: float) -> Comparison:
    row = replace(ONE, verdict=verdict, source=key, fed_colonies=colonies, check_colonies=colonies)
    return replace(row, **{"fed_mean": None, "check_mean": None} | means)


def test_without_trials_it_is_the_belief_before_them():
    alone = pooled((), BY)
    assert alone.middle == pytest.approx(0.0, abs=0.01)
    assert alone.high == pytest.approx(1.645 * 0.5, abs=0.02)


def test_printed_means_move_it_as_the_normal_law_says():
    """By hand: N(0, 0.5²) and an estimate 0.4 with error 0.4·√(2/18) = 0.1333 give 0.3734 ± 0.1288."""
    fed = float(100 * np.exp(0.4))
    found = pooled((trial("positive", fed_mean=fed, check_mean=100.0),), BY)
    assert found.middle == pytest.approx(0.3734, abs=0.005)
    assert found.high - found.low == pytest.approx(2 * 1.645 * 0.1288, abs=0.01)


def test_a_verdict_weighs_by_the_colonies_behind_it():
    few, many = (pooled((trial("neutral", n),), BY) for n in (4, 100))
    assert many.high < few.high, "no difference between many colonies rules out more"
    small, large = (pooled((trial("positive", n),), BY) for n in (4, 100))
    assert small.middle > large.middle, "few colonies see only a large gain"


def test_a_study_weighs_one_however_many_rows_it_has():
    once = pooled((trial("positive"),), BY)
    thrice = pooled((trial("positive"),) * 3, BY)
    assert thrice == pytest.approx(once)
    assert pooled(tuple(trial("positive", key=k) for k in "abc"), BY).low > once.low


def test_a_verdict_that_was_not_read_says_nothing():
    assert pooled((trial("not read"),), BY) == pytest.approx(pooled((), BY))


def test_a_verdict_without_a_test_only_tells_the_side():
    tested, untested = trial("positive", 6), replace(trial("positive", 6), tested=False)
    assert 0 < pooled((untested,), BY).middle < pooled((tested,), BY).middle
    assert pooled((replace(untested, fed_colonies=900, check_colonies=900),), BY).middle == pytest.approx(
        0.34, abs=0.02
    ), "by hand: N(0, 0.5²) cut at 0 has its median at 0.5 × 0.6745 = 0.337"


def test_good_news_counts_less_for_a_wary_reader():
    shelf = load()
    by = replace(rules(shelf.reader()), spread_sd=0.1)
    news = (trial("positive"), trial("positive", key="b"))
    assert pooled(news, wary(by, shelf.reader())).middle < pooled(news, by).middle


def test_every_verdict_has_a_chance_and_they_add_up_to_one():
    from breadline.belief.votes import MIDDLES, SPREADS, _log_chance, _seen

    at = MIDDLES[:, None], SPREADS[None, :]
    chances = [np.exp(_log_chance(_seen(trial(v), BY), BY, *at)) for v in ("positive", "neutral", "negative")]
    assert sum(chances) == pytest.approx(1.0)


def test_the_split_by_forage_is_in_the_verdicts_whoever_reads_them():
    shelf = load()
    for trust in ("plain", "wary"):
        dearth, coming_in = (of_shelf(name, shelf, trust) for name in ("dearth", "pollen"))
        assert dearth.low > coming_in.high
    assert of_shelf("pollen", shelf).low < 0 < of_shelf("pollen", shelf).high


def test_a_part_takes_only_what_votes():
    assert all(row.votes for row in part("all"))
    assert {row.forage_class for row in part("not_dearth")} == {"poor_spring", "pollen"}
    assert min(row.fed_colonies or 0 for row in part("large")) >= 10
