"""What a difference is adjusted for is said as it was done, and printed numbers add up. All invented."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from breadline.verdict.words import spoken
from breadline.verdict.words_adjusted import adjusted_for
from tests.verdict.finished_trials import judged, trial, whole_yards
from tests.verdict.test_making_grade import graded_trial


def other_starts(one, of=lambda start: start):
    return replace(one, design=replace(one.design, started=tuple(of(s) for s in one.design.started)))


def stronger_fed(start):
    return replace(start, baseline=start.baseline + 1.5 * start.arm)


def in_sets(start):
    return replace(start, block=f"set {int(start.tag[1:]) // 4}")


def without_strength(start):
    return replace(start, baseline=None)


@pytest.mark.parametrize(
    ("one", "said"),
    [
        (trial(yards=1, a_yard=20), "strength before"),
        (other_starts(trial(yards=1, a_yard=20), in_sets), "strength before and the sets drawn"),
        (trial(yards=4), "strength before and the yards"),
        (other_starts(trial(yards=4), without_strength), "the yards"),
        (other_starts(trial(yards=1, a_yard=20), without_strength), ""),
        (whole_yards(), "strength before"),
        (other_starts(whole_yards(), without_strength), ""),
    ],
)  # fmt: skip
def test_only_what_was_adjusted_for_is_said(one, said):
    assert adjusted_for(judged(one), one.design) == said


def test_whole_yards_of_other_sizes_count_once_each_and_that_is_said():
    one = whole_yards()
    fewer = tuple(s for s in one.design.started if not (s.yard == "yard 0" and int(s.tag[1:]) > 2))
    tags = {s.tag for s in fewer}
    ended = tuple(e for e in one.ended if e.tag in tags)
    one = replace(one, design=replace(one.design, started=fewer), ended=ended)
    assert adjusted_for(judged(one), one.design) == "strength before and how many colonies each yard has"


def test_a_difference_of_plain_averages_says_nothing_of_adjusting():
    one = other_starts(trial(yards=1, a_yard=20), without_strength)
    assert "adjusted" not in spoken(judged(one), one.design, None).range_said


def shares(text):
    """Fed, check and plainly more, as a reader finds them in a sentence."""
    found = re.search(
        r"(\d+) of 100 fed and (\d+) of 100 check made grade, (?:(\d+) (more|fewer)|as many)", text
    )
    fed, check, more, way = found.groups()
    return int(fed), int(check), (0 if more is None else int(more) * (1 if way == "more" else -1))


@pytest.mark.parametrize("grade", [6.0, 7.5, 8.5, 9.0, 9.5])
@pytest.mark.parametrize("moved", [False, True])
def test_counted_shares_can_be_subtracted_and_the_adjusted_difference_is_named(grade, moved):
    one = graded_trial(grade=grade)
    one = other_starts(one, stronger_fed) if moved else one
    found = judged(one)
    said = spoken(found, one.design, None)
    line = next(text for text in said.sure if text.startswith("Counted one by one"))
    fed, check, more = shares(line)
    assert fed - check == more
    estimate = round(100 * found.grade.raw.estimate)
    if estimate == more:
        assert "Adjusted" not in line
    else:
        side = (
            f"{abs(estimate)} {'more' if estimate > 0 else 'fewer'} where fed"
            if estimate
            else "as many in both"
        )
        assert f"Adjusted for strength before and the yards it comes to {side}, from " in line
    fitted = next(text for text in said.sure if text.startswith("Making grade"))
    fed, check, more, way = re.search(r"(\d+) of 100 fed and (\d+) .*; (\d+) (more|fewer)", fitted).groups()
    assert int(fed) - int(check) == int(more) * (1 if way == "more" else -1)


def test_what_is_held_back_by_the_counted_share_says_the_same_as_the_line_below():
    one = graded_trial(grade=6.0)
    found = judged(one)
    assert found.weakened == "share"
    said = spoken(found, one.design, None)
    line = next(text for text in said.sure if text.startswith("Counted one by one: "))
    assert line.removeprefix("Counted one by one: ") in said.held_back
    assert "it pays from " in said.held_back
