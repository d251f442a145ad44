"""Double readings and guesses, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.verdict.ends_of import ends_of
from breadline.verdict.grading import guesses, two_readings
from tests.verdict.finished_trials import trial


def with_rows(change):
    one = trial(yards=2, a_yard=10)
    rows = tuple(change(k, e) for k, e in enumerate(one.ended))
    return ends_of(one.design, rows)


def test_the_error_of_one_reading_is_the_root_of_half_the_mean_squared_difference():
    """Differences 1, −1, 0.5 and 0.5: squares 1, 1, 0.25, 0.25; mean 0.625; root of its half 0.559."""
    apart = [1.0, -1.0, 0.5, 0.5]
    came = with_rows(lambda k, e: replace(e, again=e.outcome + apart[k]) if k < 4 else e)
    found = two_readings(came)
    assert (found.colonies, found.apart) == (4, 0.25)
    assert found.one_reading == pytest.approx(0.559, abs=5e-4)


def test_two_colonies_read_twice_say_nothing():
    assert two_readings(with_rows(lambda k, e: replace(e, again=e.outcome) if k < 2 else e)) is None


@pytest.mark.parametrize(("wrong", "told"), [(0, True), (4, True), (10, False)])
def test_guesses_are_held_against_luck(wrong, told):
    """20 colonies, half of each group: luck makes 10; 16 right are 2.7 standard errors above it."""
    came = with_rows(lambda k, e: replace(e, guessed=(k + (k < wrong)) % 2))
    found = guesses(came)
    assert (found.asked, found.right) == (20, 20 - wrong)
    assert found.by_luck == pytest.approx(0.5, abs=0.05)
    assert found.told is told


def test_nobody_guessed():
    assert guesses(with_rows(lambda k, e: e)) is None
