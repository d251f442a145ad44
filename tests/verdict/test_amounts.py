"""Rounding never hides on which side of a line the end of a range lies."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from breadline.measures import halves_up
from breadline.plan.money import Amount
from breadline.trial.amounts import benefit_words
from breadline.trial.classes import AnswerClass, Lines, class_of_interval
from breadline.trial.design import Outcome
from breadline.trial.value_path import PerUnit
from breadline.verdict.amounts import (
    FRAMES,
    KILOGRAMS,
    POUNDS,
    amount,
    beside,
    money,
    money_end,
    plain,
    span,
    step_of,
)
from breadline.verdict.answer import Finished
from breadline.verdict.words import spoken
from breadline.verdict.worth import Worth
from tests.verdict.finished_trials import judged, trial


@pytest.mark.parametrize(
    ("low", "high", "line", "range_said", "needs"),
    [
        (0.87, 3.4, 0.93, "0.87 to 3.4", "0.93 frame"),  # open
        (0.94, 3.4, 0.87, "0.94 to 3.4", "0.87 frame"),  # paid
        (0.93, 3.4, 0.87, "0.93 to 3.4", "0.87 frame"),
        (0.932, 3.4, 0.934, "just below 0.93 to 3.4", "0.93 frame"),
        (0.934, 3.4, 0.932, "just above 0.93 to 3.4", "0.93 frame"),
        (-1.0, 0.88, 0.91, "−1.0 to 0.88", "0.91 frame"),  # did not pay
        (-1.0, 0.91, 0.88, "−1.0 to 0.91", "0.88 frame"),  # open
        (0.9, 3.4, 0.9, "0.9 to 3.4", "0.9 frame"),  # on the line, as it reads
        (0.5, 3.4, 0.93, "0.5 to 3.4", "0.9 frame"),  # nowhere near
        (0.02, 1.3, 0.04, "0.02 to 1.3", "0.04 frame"),
        (0.003, 1.3, 0.004, "0.003 to 1.3", "0.004 frame"),  # open, and it reads so
        (0.0062, 1.3, 0.004, "0.01 to 1.3", "0.004 frame"),  # paid
        (0.0042, 1.3, 0.004, "just above 0.004 to 1.3", "0.004 frame"),
        (0.0002, 1.3, 0.004, "just above 0 to 1.3", "0.004 frame"),
        (-0.003, 1.3, 0.004, "−0.003 to 1.3", "0.004 frame"),
        (-1.0, 0.003, 0.004, "−1.0 to 0.003", "0.004 frame"),  # did not pay
    ],
)
def test_an_end_beside_the_break_even_is_told_from_it(low, high, line, range_said, needs):
    assert (span(low, high, (line,)), amount(line, FRAMES, (low, high))) == (range_said, needs)


@pytest.mark.parametrize(
    ("measure", "low", "high", "line", "said"),
    [
        (POUNDS, 37.8, 117.0, 8.0, ("77 lb", "38 to 117", "8 lb")),  # no crop is known to a tenth of a pound
        (POUNDS, 8.3, 117.0, 7.9, ("77 lb", "8.3 to 117", "7.9 lb")),  # but an end never reads as the line
        (POUNDS, -0.4, 117.0, 8.0, ("77 lb", "−0.4 to 117", "8 lb")),
        (KILOGRAMS, 17.14, 53.07, 3.63, ("77.4 kg", "17.1 to 53.1", "3.6 kg")),  # to 100 g
    ],
)
def test_honey_is_told_in_whole_pounds_or_to_a_hundred_grams(measure, low, high, line, said):
    told = (
        amount(77.4, measure),
        span(low, high, (line,), measure.digits),
        amount(line, measure, (low, high)),
    )
    assert told == said


@pytest.mark.parametrize(("low", "high"), [(0.2, 0.8), (0.3, 0.4), (8.4, 9.2), (9.9, 18.7), (37.8, 117.0)])
def test_a_middle_in_pounds_never_leaves_its_own_range(low, high):
    measure, middle = POUNDS.over(low, high), (low + high) / 2
    first, last = (read(end) for end in span(low, high, (8.0,), measure.digits).split(" to "))
    assert first <= float(amount(middle, measure).split()[0]) <= last


def test_how_far_two_readings_lie_apart_is_told_to_a_tenth_in_pounds_too():
    assert amount(0.3, POUNDS.finely) == "0.3 lb"
    assert amount(0.3, FRAMES.finely) == amount(0.3, FRAMES)


@pytest.mark.parametrize(
    ("low", "high", "lines", "digits", "said"),
    [
        (1.58, 1.62, (), 1, "1.58 to 1.62"),  # it read "1.6 to 1.6", a range of nothing
        (-0.62, -0.58, (), 1, "−0.62 to −0.58"),
        (16.6, 17.4, (), 0, "16.6 to 17.4"),  # pounds, or colonies in a hundred
        (1.58, 1.62, (1.66,), 1, "1.58 to 1.62"),  # the line reads 1.7, and lies above both
        (1.6, 1.6, (), 1, "1.6 to 1.6"),  # nothing between them
        (1.6, 1.6 + 1e-12, (), 1, "1.6 to 1.6"),
        (0.932, 0.9322, (0.934,), 1, "a little below 0.93 to just below 0.93"),  # it read alike at both ends
        (0.934, 0.9342, (0.932,), 1, "just above 0.93 to a little above 0.93"),
        (0.0001, 0.0002, (), 1, "just above 0 to a little above 0"),
        (-0.0002, -0.0001, (), 1, "a little below 0 to just below 0"),
        (-0.0001, 0.0001, (), 1, "just below 0 to just above 0"),
        (0.932, 0.936, (0.934,), 1, "just below 0.93 to 0.94"),
        (0.9315, 0.9345, (0.933,), 1, "just below 0.93 to just above 0.93"),
        (1.5, 1.6, (), 1, "1.5 to 1.6"),
    ],
)
def test_the_ends_of_a_range_that_is_one_are_told_apart(low, high, lines, digits, said):
    assert span(low, high, lines, digits) == said


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (1.58, 1.62, ("+$1.58", "+$1.62")),  # it read "+$1.6 to +$1.6"
        (-1.62, -1.58, ("−$1.62", "−$1.58")),
        (0.02, 0.04, ("+$0.02", "+$0.04")),
        (1.54, 1.62, ("+$1.5", "+$1.6")),
        (1.601, 1.604, ("+$1.6", "+$1.6")),  # not a cent apart
        (0.001, 0.002, ("just above $0", "just above $0")),
        (16.0, 22.0, ("+$16.0", "+$22.0")),
    ],
)
def test_the_ends_of_a_range_of_money_are_told_apart_to_the_cent(low, high, said):
    step = step_of(low, high)
    assert (money_end(low, "$", step), money_end(high, "$", step)) == said


def near_no_difference(**lines) -> Finished:
    """Fed colonies no stronger, with lines that its range is read beside."""
    one = trial(0.0, 1.0, 6, 12)
    return replace(one, design=replace(one.design, lines=Lines(**lines)))


@pytest.mark.parametrize(
    ("break_even", "margin", "apart", "needs"),
    [
        (0.763, 0.763, "less than 0.76 frame apart", "needs about 0.76 frame"),  # one number, told one way
        (0.84, 0.763, "less than 0.76 frame apart", "needs about 0.84 frame"),
        (0.93, 0.89, "less than 0.89 frame apart", "needs about 0.93 frame"),
        (1.3, 2.04, "less than 2.0 frames apart", "needs about 1.3 frames"),
    ],
)
def test_what_it_needs_and_what_matters_are_told_as_finely_as_each_other(break_even, margin, apart, needs):
    one = near_no_difference(break_even=break_even, margin=margin)
    found = judged(one)
    assert found.given is AnswerClass.NO_DIFFERENCE_LARGER
    said = spoken(found, one.design, None)
    assert apart in said.sentence
    assert needs in said.range_said


def read(text):
    """A printed number; one just below or above a line, or a little below or above it, lies there."""
    text = text.replace("a little ", "just ")
    nudge = -0.001 if "below" in text else 0.001 if "above" in text else 0.0
    return float(text.replace("just below ", "").replace("just above ", "").replace("−", "-")) + nudge


@pytest.mark.parametrize("seed", range(20))
def test_the_class_read_off_the_printed_range_is_the_class_given(seed):
    rng = np.random.default_rng(seed)
    for _ in range(100):
        line = float(rng.uniform(0.01, 2.0)) if rng.random() < 0.7 else float(rng.uniform(0.002, 0.01))
        low, high = sorted(float(line + rng.normal(0, rng.choice([0.1, line]))) for _ in range(2))
        printed = [read(text) for text in span(low, high, (line,)).split(" to ")]
        of_line = Lines(read(beside(line, (low, high))), 5.0)
        assert class_of_interval(printed[0], printed[1], of_line) is class_of_interval(
            low, high, Lines(line, 5.0)
        )


@pytest.mark.parametrize(
    ("value", "unit", "step", "said"),
    [
        (0.3, "$", 1.0, "just above $0"), (-0.3, "$", 1.0, "just below $0"), (0.0, "$", 1.0, "$0"),
        (-0.04, "CHF", 0.1, "just below 0 CHF"), (2.0, "$", 5.0, "just above $0"), (45.2, "$", 1.0, "+$45"),
    ],
)  # fmt: skip
def test_an_end_in_money_never_reads_as_nothing(value, unit, step, said):
    assert money_end(value, unit, step) == said


@pytest.mark.parametrize(
    ("nudge", "given"),
    [
        (-0.006, AnswerClass.PAID), (-0.0001, AnswerClass.PAID), (0.006, AnswerClass.STRONGER_PAY_UNSURE),
        (0.0001, AnswerClass.STRONGER_PAY_UNSURE),
    ],
)  # fmt: skip
def test_a_verdict_beside_its_break_even_shows_why_it_is_paid_or_open(nudge, given):
    """The break-even a hair to either side of the lower end, which both read the same to one decimal."""
    one = trial(2.0)
    low = judged(one).here.low
    line = low + nudge
    assert f"{low:.1f}" == f"{line:.1f}"
    one = replace(one, design=replace(one.design, lines=Lines(line, 0.5)))
    found = judged(one)
    assert found.here.given is given
    worth = Worth(Amount(20.0 * line, "$", 2026), PerUnit(Outcome.FRAMES, Amount(20.0, "$", 2026)))
    said = spoken(found, one.design, worth)
    first, needs = re.search(r"from (.+) to .*needs about ([\d.]+) frame", said.range_said).groups()
    assert (read(first) > read(needs)) is (given is AnswerClass.PAID)
    side = "just above $0" if given is AnswerClass.PAID else "just below $0"
    assert f"from {side} to" in said.money


def test_a_line_close_to_0_never_reads_as_0():
    assert [amount(line, FRAMES, (-1.0, 2.0)) for line in (0.004, 0.04, 0.0, 0.00052)] == [
        "0.004 frame", "0.04 frame", "0.0 frames", "0.001 frame",
    ]  # fmt: skip


def test_one_frame_is_one():
    assert [benefit_words(value, Outcome.FRAMES) for value in (1.0, 1.004, 1.1, 0.68)] == [
        "1 frame of bees", "1 frame of bees", "1.1 frames of bees", "0.68 frames of bees",
    ]  # fmt: skip


@pytest.mark.parametrize("value", [4.25, 4.249999999999999, 4.250000000000001, 17 / 4, sum([0.85] * 5)])
def test_a_half_is_rounded_one_way_however_it_was_worked_out(value):
    assert plain(value) == "4.3"
    assert plain(-value) == "−4.3"
    assert amount(value, FRAMES) == "4.3 frames"


@pytest.mark.parametrize(
    ("value", "digits", "said"),
    [
        (0.05, 1, "0.1"),
        (2.5, 0, "3"),
        (3.5, 0, "4"),
        (0.125, 2, "0.13"),
        (4.2499, 1, "4.2"),
        (1e6 + 0.5, 0, "1000001"),
    ],
)
def test_halves_go_away_from_nothing(value, digits, said):
    assert plain(value, digits) == said
    assert float(said) == halves_up(value, digits)
    assert halves_up(-value, digits) == -float(said)


def test_money_on_a_half_step_is_rounded_as_frames_are():
    assert [money(v, "$", 1.0) for v in (2.5, 3.5, -2.5)] == ["+$3", "+$4", "−$3"]
    assert money_end(0.5, "$", 1.0) == "+$1"


def test_averages_on_a_half_are_rounded_as_the_other_looks_are():
    """Counted halves whose means lie at 4.25 and 6.25."""
    one = trial(yards=2, a_yard=8)
    frames = {s.tag: 4.0 + 0.5 * (k % 4 < 2) + 2.0 * s.arm for k, s in enumerate(one.design.started)}
    one = replace(one, ended=tuple(replace(e, outcome=frames[e.tag]) for e in one.ended))
    found = judged(one)
    assert (found.arms[0].mean, found.arms[1].mean) == (4.25, 6.25)
    said = " ".join(spoken(found, one.design, None).done)
    assert "4.3 frames on average" in said
    assert "6.3 frames on average" in said
