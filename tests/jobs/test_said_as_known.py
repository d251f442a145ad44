"""Numbers are told as finely as their ranges carry. All invented."""

from __future__ import annotations

from breadline.belief.survival_learnt import _moved
from breadline.jobs.own_evidence import grams_said, worth_words
from breadline.verdict.through_model import Mode


def test_what_a_gram_replaced_is_told_to_a_tenth_where_its_range_is_wide():
    assert grams_said(0.07, 0.49, 1.13) == ("0.1", "0.5", "1.1")
    assert grams_said(0.31, 0.34, 0.38) == ("0.31", "0.34", "0.38")
    (said,) = worth_words([Mode(0.07, 0.49, 1.13, 0.9)])
    assert "90 in 100 that a gram replaced 0.5 g of pollen (0.1 to 1.1)" in said


def test_deaths_believed_are_whole_and_a_belief_that_hardly_moved_says_so():
    assert "7 are believed to die fed, 8 before" in _moved(0.25, 0.45)
    assert "a little other than before" in _moved(0.46, 0.45)
    assert _moved(0.4, 0.4).endswith("as before.")
