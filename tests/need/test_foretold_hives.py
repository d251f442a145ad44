"""Counts of hives gone through one by one against the bands: what they were fed, and how many they are."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.need.foretold import Aside, Compared, Fed, compared
from breadline.need.foretold_words import of_hives
from breadline.need.yard import Given
from need.test_foretold import bands_of, count, on, outlook, row


@pytest.mark.parametrize(
    ("grams", "held"), [(450.0, True), (412.5, True), (404.0, False), (225.0, False), (0.0, False)]
)
def test_hives_that_were_fed_otherwise_than_was_reckoned_with_are_set_aside(grams, held):
    """Check hives that were counted alone got nothing, of half of a yard the mean is half."""
    reckoned = (Given(on(12), 450.0),)
    own = (Given(on(12), grams),) if grams else ()
    counted = replace(count(4, 20), given=own)
    (told,) = compared([counted], [outlook(1, 1, 0, given=reckoned)], Fed(reckoned), bands_of)
    assert isinstance(told, Compared) == held
    if not held:
        assert isinstance(told, Aside)
        assert "the hives that were counted were fed otherwise" in told.why


def test_feed_of_the_yard_alone_says_nothing_of_hives_of_a_check_group():
    fed = (Given(on(12), 450.0),)
    counted = replace(count(4, 20), given=fed, unshared=(on(12),))
    (told,) = compared([counted], [outlook(1, 1, 0, given=fed)], Fed(fed), bands_of)
    assert isinstance(told, Aside)
    assert "while a check group stood in it" in told.why
    (later,) = compared(
        [replace(counted, unshared=(on(20),))], [outlook(1, 1, 0, given=fed)], Fed(fed), bands_of
    )
    assert isinstance(later, Compared), "what went on after the count made no difference to it"


def test_of_how_many_hives_a_count_is_the_mean_stands_beside_it():
    one = row(8000.0)
    assert of_hives(one) == ""
    assert of_hives(replace(one, hives=22)) == "mean of 22 hives"
    assert of_hives(replace(one, hives=20, empty=2)) == "mean of 20 hives, without 2 that had no bees"
