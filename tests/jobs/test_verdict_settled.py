"""What is typed beside a trial's own file: its design stands, and how it was done is heard. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.jobs.trial_file import Telling, trial_text
from breadline.jobs.verdict import Prices, Told, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_content
from breadline.jobs.verdict_rows import SheetAsked
from breadline.jobs.verdict_settled import not_taken
from breadline.trial.design import CheckArm
from breadline.verdict.fairness import Breach
from jobs.travelled import finished

TODAY = date(2027, 6, 1)
TEXT = trial_text(finished(1, 1.35, 2, 8), Telling("autumn 2026", "dearth")).encode()


def of(**asked):
    return verdict_of_content("trial.json", TEXT, VerdictAsked(draws=99, **asked), TODAY)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"prices": Prices(break_even=2.5)}, "from what on it pays (0."),
        ({"prices": Prices(break_even=0.1, margin=7.0)}, "what would not matter (0."),
        ({"grade": 6.0}, "no grade line"),
        ({"measure": "lb"}, "the unit (frames)"),
        ({"told": Told(drawn="hand")}, "how the fed were chosen (drawn by lot)"),
        ({"told": Told(check_arm=CheckArm.HALF)}, "what the check group got (the same care, no protein"),
        ({"sheet": SheetAsked(primary="Patty")}, "the group “Patty” (it is fed)"),
    ],
)
def test_what_is_settled_in_a_file_is_not_changed_by_what_is_typed_and_that_is_said(asked, says):
    plain, found = of(), of(**asked)
    assert not [line for line in plain.remarks if "Not taken" in line]
    (line,) = [line for line in found.remarks if "Not taken" in line]
    assert says in line
    assert found.finished.design == plain.finished.design
    assert found.answer.given is plain.answer.given


def test_what_the_file_says_too_is_not_remarked_on():
    lines = of().finished.design.lines
    same = Prices(break_even=lines.break_even, margin=lines.margin)
    found = of(prices=same, told=Told(drawn="lot"), sheet=SheetAsked(check="Check", primary="fed"))
    assert not [line for line in found.remarks if "Not taken" in line]


@pytest.mark.parametrize(
    ("told", "breach"),
    [
        (Told(differently="mite strips in the fed"), Breach.TREATED_APART),
        (Told(open_feed=True), Breach.OPEN_FEED),
        (Told(weakest_unfed=True), Breach.WEAKEST_UNFED),
    ],
)
def test_how_a_travelled_trial_was_done_is_heard_from_whoever_asks(told, breach):
    assert not of().answer.broken
    assert [one.breach for one in of(told=told).answer.broken] == [breach]


@pytest.mark.parametrize(
    ("staggered", "typed", "says"),
    [
        (None, True, "How the groups stand in rows is not taken as typed"),
        (None, False, "How the groups stand in rows is not taken as typed"),
        (True, True, "Not taken as typed, for the trial’s file has it settled: how the groups stand in rows"),
        (True, False, ""),
        (None, None, ""),
    ],
)
def test_how_groups_stand_in_rows_is_the_files_word_and_that_is_said(staggered, typed, says):
    design = replace(of().finished.design, staggered=staggered)
    said = not_taken(VerdictAsked(told=Told(one_row=typed)), design)
    assert [line[: len(says)] for line in said] == ([says] if says else [])
