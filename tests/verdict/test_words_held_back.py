"""The headline and the numbers beside it say one thing. All trials invented."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.language import speaking
from breadline.trial.classes import AnswerClass
from breadline.trial.colonies import Became
from breadline.verdict.amounts import span
from breadline.verdict.answer import answer
from breadline.verdict.permutation import DRAWS, FEWER_DRAWS, draws_for
from breadline.verdict.words import spoken
from breadline.verdict.words_asked import in_short
from breadline.verdict.words_difference import lines_beside
from breadline.verdict.words_held_back import held_back, in_hundred
from verdict.finished_trials import became, judged, trial, whole_yards


def said_of(found, one):
    return spoken(found, one.design, None)


def test_what_holds_the_answer_back_is_said_with_what_it_shows():
    """Two and three yards fall in 10 ways: the best of them comes once in 10 by lots alone."""
    one = whole_yards(yards=5)
    found = judged(one)
    assert (found.here.given, found.given) == (AnswerClass.PAID, AnswerClass.TOO_FEW)
    assert said_of(found, one).held_back == (
        "Held back by counting how the lots could have fallen: were feeding without any effect, lots alone "
        "would put fed colonies as far ahead 10 times in 100, and at most 5 in 100 count as clear. The "
        "weaker reading is said."
    )


def test_nothing_is_held_back_where_both_readings_agree():
    one = trial(3.0)
    assert said_of(judged(one), one).held_back == ""


def test_drift_says_the_range_that_it_goes_by():
    one = trial(0.4, 0.7, a_yard=20, seed=1, staggered=False)
    found = judged(one)
    assert found.weakened == "drift"
    said = said_of(found, one)
    assert span(found.here.low / 0.78, found.here.high / 0.78) in said.held_back
    assert "drift" in said.sentence
    assert "too few" not in said.sentence, "more colonies would drift as well"
    assert in_short(found) == "not to be told by itself, with bees drifting along the row"


def test_the_headline_says_what_both_readings_share_and_the_next_sentence_agrees():
    """Behind in the range, no better than its cost by lots: neither leaves open whether it paid."""
    one = trial(2.0)
    found = judged(one)
    torn = replace(
        found, given=AnswerClass.TOO_FEW, weakened="permutation", by_permutation=AnswerClass.DID_NOT_PAY,
        here=replace(found.here, given=AnswerClass.WEAKER),
    )  # fmt: skip
    said = said_of(torn, one)
    assert said.sentence.startswith("Feeding did not cover its cost")
    assert "save the money" in said.next_season
    assert in_short(torn) == "it did not pay"


def test_too_close_is_advice_below_and_the_headline_says_the_range():
    one = trial(0.75, 3.0, yards=2, seed=8)
    found = judged(one)
    near = replace(found.here.contrast, estimate=0.75)
    close = replace(found, given=AnswerClass.TOO_FEW, here=replace(found.here, contrast=near), weakened="")
    said = said_of(close, one)
    ends = span(found.here.low, found.here.high, lines_beside(found, one.design))
    assert said.sentence == f"Can’t tell whether feeding paid: it may have added anything from {ends} frames."
    assert "close" not in said.sentence  # the data do not show that; next season's advice may
    assert "too few" not in said.sentence
    assert "too close to break-even" in said.next_season


@pytest.mark.parametrize("seed", range(6))
def test_clear_of_chance_is_said_only_where_range_and_lots_are(seed):
    one = trial(0.7, 1.2, yards=2, seed=seed)
    found = judged(one)
    line = next(text for text in said_of(found, one).sure if "lots alone put" in text)
    assert line.startswith("The difference is clear of chance") is found.clear_of_chance
    told = found.here.low > 0 and found.permutation.p_above <= 0.05 + 1e-9
    below = found.here.high < 0 and found.permutation.p_below <= 0.05 + 1e-9
    assert found.clear_of_chance is (told or below)


def test_an_end_of_a_range_beside_0_is_not_printed_as_0():
    assert span(0.02, 1.3) == "0.02 to 1.3"
    assert span(-0.03, 1.3) == "−0.03 to 1.3"
    assert span(0.002, 1.3) == "just above 0 to 1.3"
    assert span(-0.5, 0.0) == "−0.5 to 0.0"


def test_a_chance_near_what_counts_as_clear_has_a_digit_more():
    assert [in_hundred(p) for p in (0.1, 0.052, 0.05, 0.02, 0.01)] == [
        "10 times in 100", "5.2 times in 100", "5 times in 100", "2 times in 100", "1 time in 100",
    ]  # fmt: skip


def test_each_colony_that_counts_as_0_is_told_once_and_by_its_kind():
    one = became(trial(yards=2, a_yard=20), ["T0", "T1"], Became.DEAD)
    one = became(one, ["T2"], Became.MERGED, merged_into="T4")
    said = said_of(judged(one), one)
    assert any("1 dead or gone and 1 merged into another, counted as 0" in line for line in said.done)
    assert any(line.startswith("Dead or gone: 1 of 20 fed and 1 of 20 check;") for line in said.sure)
    with speaking("es"):
        spanish = said_of(judged(one), one)
    assert any("1 muerta o ida y 1 unida a otra" in line for line in spanish.done)


def test_plain_averages_that_differ_otherwise_are_said_beside_the_adjusted_difference():
    one = trial(1.0, 0.5)
    stronger = {s.tag: 2.0 * s.arm for s in one.design.started}
    started = tuple(replace(s, baseline=s.baseline + stronger[s.tag]) for s in one.design.started)
    found = judged(replace(one, design=replace(one.design, started=started)))
    said = spoken(found, one.design, None).range_said
    assert "It is adjusted for strength before and the yards; the plain averages differ by +" in said


def test_one_trial_is_read_with_as_many_draws_everywhere():
    assert (draws_for(1500), draws_for(1501)) == (DRAWS, FEWER_DRAWS)
    found = answer(trial(0.9, 1.0, yards=2, a_yard=14), np.random.default_rng(1))
    assert found.permutation.draws in (0, DRAWS)
    assert held_back(replace(found, here=None), trial().design) == ""


def test_held_back_by_lots_the_headline_asks_for_no_more_colonies_where_no_number_would_do():
    """The range lies round break-even and lots hold the class back: "too few" would ask for more of them."""
    one = trial(0.75, 3.0, yards=2, seed=8)
    found = judged(one)
    near = replace(found.here.contrast, estimate=0.75)
    close = replace(
        found, given=AnswerClass.TOO_FEW, here=replace(found.here, contrast=near), weakened="permutation",
        permutation_at_break_even=None,
    )  # fmt: skip
    said = said_of(close, one)
    assert "too close to break-even" in said.next_season
    assert "too few" not in said.sentence
    assert "it may have added anything from" in said.sentence
