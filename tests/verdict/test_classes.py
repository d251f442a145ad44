"""The classes of an answer: one for every interval, and which says less than which."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import TrialError
from breadline.trial.classes import AnswerClass, Lines, Told, class_of, class_of_interval
from breadline.verdict.classes import is_weaker, weaker_of_both

LINES = Lines(break_even=0.75, margin=0.5)
numbers = st.floats(-5, 5)
lines = st.builds(Lines, break_even=st.floats(0.01, 3), margin=st.floats(0.01, 3))


# worked by hand from the rule
@pytest.mark.parametrize(
    ("low", "high", "letter"),
    [
        (0.9, 1.5, "A"), (0.2, 1.4, "B"), (0.1, 0.5, "C"), (-0.3, 0.4, "D"), (-0.8, 0.4, "E"),
        (-1.0, -0.2, "F"), (-0.4, 1.3, "G"),
        (0.75, 1.5, "B"), (0.2, 0.75, "B"), (0.0, 0.4, "D"), (-0.3, 0.0, "D"), (-0.5, 0.4, "E"),
        (-0.3, 0.5, "E"), (-0.3, 0.75, "G"),
    ],
)  # fmt: skip
def test_the_rule_at_worked_intervals_and_on_its_lines(low, high, letter):
    assert class_of_interval(low, high, LINES).value == letter


@given(numbers, st.floats(0, 5), lines)
def test_every_interval_has_the_class_of_its_definition(low, width, given_lines):
    high, b, x = low + width, given_lines.break_even, given_lines.margin
    by_definition = {
        "A": low > b,
        "B": 0 < low <= b <= high,
        "C": low > 0 and high < b,
        "D": low <= 0 <= high < b and -x < low and high < x,
        "E": low <= 0 <= high < b and not (-x < low and high < x),
        "F": high < 0,
        "G": low <= 0 and high >= b,
    }
    assert [k for k, holds in by_definition.items() if holds] == [
        class_of_interval(low, high, given_lines).value
    ]


@given(numbers, st.floats(0, 5), lines, st.floats(0, 2), st.floats(0, 2))
def test_a_wider_interval_never_says_more(low, width, given_lines, down, up):
    one = class_of_interval(low, low + width, given_lines)
    wider = class_of_interval(low - down, low + width + up, given_lines)
    # C and F hold two statements each; a wider interval may keep one of them, which the order has no word for
    kept = {"C": "BDE", "F": "DE"}.get(one.value, "")
    assert wider is one or is_weaker(wider, one) or wider.value in kept


@given(numbers, st.floats(0, 5), lines, st.floats(0, 4))
def test_moving_up_leads_from_weaker_towards_paid(low, width, given_lines, up):
    place = {"F": 0, "D": 1, "E": 1, "G": 2, "C": 2, "B": 3, "A": 4}
    one = class_of_interval(low, low + width, given_lines).value
    moved = class_of_interval(low + up, low + up + width, given_lines).value
    assert place[moved] >= place[one]


@given(numbers, st.floats(0, 5))
def test_where_feeding_costs_nothing_anything_above_0_pays(low, width):
    free = Lines(break_even=-0.2, margin=0.5)
    assert class_of_interval(low, low + width, free).value == (
        "A" if low > 0 else "F" if low + width < 0 else "G"
    )


def test_weakness_is_the_order_that_was_set():
    order = {a + b for a, b in product("ABCDEFG", repeat=2) if is_weaker(AnswerClass(a), AnswerClass(b))}
    assert order == {"GB", "GA", "BA", "GE", "GD", "ED", "GC", "GF"}
    assert all(is_weaker(AnswerClass.NOT_FAIR, c) for c in AnswerClass if c is not AnswerClass.NOT_FAIR)


def test_the_nearest_class_weaker_than_both():
    expected = {
        "AB": "B",
        "AA": "A",
        "DE": "E",
        "AC": "G",
        "BC": "G",
        "DF": "G",
        "AD": "G",
        "EG": "G",
        "AH": "H",
    }
    assert {k: weaker_of_both(AnswerClass(k[0]), AnswerClass(k[1])).value for k in expected} == expected


@given(st.sampled_from(AnswerClass), st.sampled_from(AnswerClass))
def test_it_is_weaker_than_or_the_same_as_each_and_none_nearer_exists(one, other):
    def at_most(a, b):
        return a is b or is_weaker(a, b)

    found = weaker_of_both(one, other)
    assert found is weaker_of_both(other, one)
    lower = [c for c in AnswerClass if at_most(c, one) and at_most(c, other)]
    assert found in lower
    assert all(at_most(c, found) for c in lower)


def test_tests_that_contradict_each_other_tell_nothing():
    assert class_of(Told(True, False, True, True, False)) is AnswerClass.TOO_FEW
    assert class_of(Told(False, True, False, False, False)) is AnswerClass.TOO_FEW
    assert class_of(Told(True, True, True, False, True)) is AnswerClass.TOO_FEW
    assert class_of(Told(False, False, False, True, False)) is AnswerClass.TOO_FEW


@pytest.mark.parametrize(("low", "high"), [(1.0, 0.0), (float("nan"), 1.0), (0.0, float("inf"))])
def test_what_is_no_interval_is_refused(low, high):
    with pytest.raises(TrialError):
        class_of_interval(low, high, LINES)
    with pytest.raises(TrialError):
        Lines(break_even=0.5, margin=0.0)
