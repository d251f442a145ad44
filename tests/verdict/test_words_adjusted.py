"""What a difference is adjusted for is said as it was done, and printed numbers add up. All invented."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from breadline.verdict.words import spoken
from breadline.verdict.words_adjusted import ONCE, adjusted_for, difference_head, yards_count_once
from breadline.verdict.words_shares import counted_shares
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


def of_other_sizes(one, kept=2):
    """The same with fewer colonies in its first yard."""
    fewer = tuple(s for s in one.design.started if not (s.yard == "yard 0" and int(s.tag[1:]) > kept))
    tags = {s.tag for s in fewer}
    ended = tuple(e for e in one.ended if e.tag in tags)
    return replace(one, design=replace(one.design, started=fewer), ended=ended)


def test_whole_yards_of_other_sizes_count_once_each_and_that_is_no_adjustment():
    one = of_other_sizes(whole_yards())
    found = judged(one)
    assert adjusted_for(found, one.design) == "strength before"
    assert yards_count_once(found, one.design)
    assert difference_head(found, one.design) == (
        "Difference, adjusted for strength before, each yard counted once"
    )
    said = spoken(found, one.design, None).range_said
    assert ONCE in said
    assert "It is adjusted for strength before; " in said
    same = whole_yards()
    assert not yards_count_once(judged(same), same.design)
    assert ONCE not in spoken(judged(same), same.design, None).range_said
    bare = other_starts(one, without_strength)
    found = judged(bare)
    assert difference_head(found, bare.design) == "Difference, each yard counted once"
    said = spoken(found, bare.design, None).range_said
    assert f"{ONCE} The plain averages of the colonies differ by +" in said
    assert "adjusted" not in said


def test_a_difference_in_a_table_is_headed_by_what_it_is_adjusted_for():
    one = other_starts(trial(yards=4), without_strength)
    assert difference_head(judged(one), one.design) == "Difference, adjusted for the yards"
    bare = other_starts(trial(yards=1, a_yard=20), without_strength)
    assert difference_head(judged(bare), bare.design) == "Difference"


def averages(one, said):
    """Printed averages subtracted, the difference printed, and what it says that plain ones differ by."""
    by_name = dict(
        re.search(r"^(Fed|Check): .* (-?[\d.]+) frames? on average", line).groups() for line in said.done[-2:]
    )
    difference = re.search(r"Fed less check: ([+−]?[\d.]+) frames?", said.range_said)[1]
    bare = re.search(
        r"(?:plain averages|averages of the colonies|seem to) differ by ([+−]?[\d.]+)\.", said.range_said
    )
    as_number = lambda text: float(text.replace("−", "-"))  # noqa: E731
    return (
        round(as_number(by_name["Fed"]) - as_number(by_name["Check"]), 1),
        as_number(difference),
        None if bare is None else as_number(bare[1]),
    )


@pytest.mark.parametrize("kind", ["strength", "yards", "plain", "whole", "whole uneven", "whole uneven bare"])
@pytest.mark.parametrize("seed", range(12))
def test_printed_averages_can_be_subtracted_or_why_not_is_said(kind, seed):
    gain = 0.13 * seed
    one = {
        "strength": lambda: trial(gain, yards=1, a_yard=20, seed=seed),
        "yards": lambda: other_starts(trial(gain, yards=4, seed=seed), without_strength),
        "plain": lambda: other_starts(trial(gain, yards=1, a_yard=20, seed=seed), without_strength),
        "whole": lambda: whole_yards(gain, seed=seed),
        "whole uneven": lambda: of_other_sizes(whole_yards(gain, seed=seed)),
        "whole uneven bare": lambda: other_starts(
            of_other_sizes(whole_yards(gain, seed=seed)), without_strength
        ),
    }[kind]()  # fmt: skip
    said = spoken(judged(one), one.design, None)
    plainly, difference, bare = averages(one, said)
    assert bare == (None if plainly == difference else plainly)
    if bare is not None:
        assert ("rounded" in said.range_said) == (kind == "plain")
        assert ("adjusted for" in said.range_said) == (kind not in ("plain", "whole uneven bare"))


def test_rounding_alone_that_parts_averages_from_their_difference_is_said():
    one = other_starts(trial(yards=1, a_yard=20), without_strength)
    values = {0: 8.66, 1: 8.83}  # check, fed: +0.17 is +0.2, while 8.8 less 8.7 is 0.1
    arm = {s.tag: s.arm for s in one.design.started}
    ended = tuple(
        replace(e, outcome=values[arm[e.tag]] + 0.5 * (-1) ** (place // 2))
        for place, e in enumerate(one.ended)
    )
    one = replace(one, ended=ended)
    said = spoken(judged(one), one.design, None).range_said
    assert said.startswith("Fed less check: +0.2 frames, ")
    assert "The plain averages are rounded, so they seem to differ by +0.1." in said


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
        came_to = f"it comes to {abs(estimate)} {'more' if estimate > 0 else 'fewer'} where fed"
        came_to = came_to if estimate else "as many made grade in both"
        assert f"Adjusted for strength before and the yards {came_to}, from " in line
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
    assert "It pays from " in said.held_back


def test_as_many_in_both_and_feeding_that_cost_nothing_are_sentences_of_their_own():
    one = graded_trial(grade=8.5)
    found = judged(one)
    even = replace(found.grade, raw_fed=0.4, raw_check=0.5, raw=replace(found.grade.raw, estimate=0.001))
    said = counted_shares(even, found, one.design)
    assert "40 of 100 fed and 50 of 100 check made grade, 10 fewer where fed. Adjusted for " in said
    assert " as many made grade in both, from " in said
    assert "comes to as many" not in said
    free = counted_shares(replace(even, needed=0.0), found, one.design)
    assert free.endswith("Any more at all pays.")
    assert "pays from" not in free
