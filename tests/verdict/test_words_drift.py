"""Drift along a row: looked at where the class stands, said where the difference is taken on. Invented."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.trial.classes import Lines
from breadline.trial.design import Allocation, CheckArm, Outcome
from breadline.verdict.amounts import FRAMES, span
from breadline.verdict.answer import judged_after_drift
from breadline.verdict.words import spoken
from breadline.verdict.words_difference import lines_beside, needed_said
from breadline.verdict.words_drift import taken_as_seen
from tests.verdict.finished_trials import judged, trial, whole_yards

LOOKED, LEARNS = "Drift was looked at", "Next season learns the difference as it was seen"


def said_of(one):
    found = judged(one)
    return found, spoken(found, one.design, None)


def test_a_class_that_holds_in_spite_of_drift_says_that_it_was_looked_at():
    one = trial(3.0, 0.8, staggered=False)
    found, said = said_of(one)
    assert found.weakened == ""
    assert judged_after_drift(found.here, one.design.lines) is found.given
    (looked,) = [line for line in said.sure if line.startswith(LOOKED)]
    after = span(found.here.low / 0.78, found.here.high / 0.78, lines_beside(found, one.design))
    assert f"1.3 times as large, from {after} frames" in looked


def test_where_drift_holds_the_answer_back_it_says_what_is_learnt_and_not_that_it_holds():
    found, said = said_of(trial(0.4, 0.7, a_yard=20, seed=1, staggered=False))
    assert found.weakened == "drift"
    assert not [line for line in said.sure if line.startswith(LOOKED)]
    (learns,) = [line for line in said.sure if line.startswith(LEARNS)]
    assert "0.78 of the true one" in learns


@pytest.mark.parametrize("staggered", [True, None])
def test_groups_that_alternate_or_whose_rows_nobody_knows_say_nothing_of_drift(staggered):
    _, said = said_of(trial(3.0, 0.8, staggered=staggered))
    assert "rift" not in " ".join(said.sure)


def test_whole_yards_stand_in_no_row_with_each_other():
    one = whole_yards()
    _, said = said_of(replace(one, design=replace(one.design, staggered=False)))
    assert "rift" not in " ".join(said.sure)


@pytest.mark.parametrize(
    "other",
    [{"check_arm": CheckArm.SUGAR}, {"outcome": Outcome.HONEY}, {"allocation": Allocation.UNKNOWN}],
)
def test_a_trial_that_teaches_nothing_does_not_say_what_next_season_learns(other):
    _, said = said_of(trial(3.0, 0.8, staggered=False, **other))
    assert [line for line in said.sure if line.startswith(LOOKED)]
    assert not [line for line in said.sure if line.startswith(LEARNS)]


def test_a_line_between_the_range_and_that_without_drift_is_told_from_both():
    one = trial(3.0, 0.8, staggered=False)
    low = judged(one).here.low
    near = replace(one, design=replace(one.design, lines=Lines(low / 0.78 - 0.004, 0.5)))
    found = judged(near)
    after = found.here.low / 0.78
    first = span(after, after + 1, lines_beside(found, near.design)).split(" ")[0]
    assert needed_said(found, near.design, FRAMES) == f"{near.design.lines.break_even:.2f} frames"
    assert first == f"{after:.2f}", "0.004 above the line, and it must not read as it"


@pytest.mark.parametrize(("one_row", "told"), [(True, True), (False, False), (None, False)])
def test_what_is_taken_on_says_so_for_groups_in_one_row_only(one_row, told):
    assert bool(taken_as_seen(one_row)) is told
