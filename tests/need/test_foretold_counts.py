"""A count of the book in bees and cells, or why it cannot be told so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.knowledge.shelf import load
from breadline.need.foretold_counts import (
    EMPTY,
    MIXED,
    NO_DEFINITION,
    ONE_BY_ONE,
    TOO_FEW,
    HiveByHive,
    Visited,
    later_count,
)
from breadline.need.yard import Count as Looked

SHELF = load()
LOOKED = Looked(
    date(2026, 2, 21),
    0.0,
    "g",
    frames_of_bees=6.0,
    frame_means="one_layer",
    frames_of_brood=3.0,
    colonies_looked_in=4,
)


def visited(**changes) -> Visited:
    return replace(Visited(4, LOOKED, 24, brood=True, one_by_one=False), **changes)


def test_frames_become_bees_by_the_definition_of_that_day():
    one, full = (
        later_count(visited(counted=replace(LOOKED, frame_means=name)), SHELF).seen["bees"]
        for name in ("one_layer", "full")
    )
    assert one == 6.0 * SHELF["frame_of_bees.one_layer"].span.typical
    assert full == 6.0 * SHELF["frame_of_bees.full"].span.typical
    medium = later_count(visited(counted=replace(LOOKED, boxes=("medium",))), SHELF).seen["bees"]
    assert medium == one * SHELF["frame_size.medium_of_deep"].span.typical


@pytest.mark.parametrize("means", [None, "a handful"])
def test_frames_without_a_known_definition_are_set_aside(means):
    told = later_count(visited(counted=replace(LOOKED, frame_means=means)), SHELF)
    assert told.why_not["bees"] == NO_DEFINITION
    assert "bees" not in told.seen
    assert told.seen["brood"] > 0


def test_no_frames_of_bees_is_a_dead_colony_whatever_a_frame_means():
    told = later_count(visited(counted=replace(LOOKED, frames_of_bees=0.0, frame_means=None)), SHELF)
    assert told.seen["bees"] == 0.0


def test_no_brood_is_a_count_and_no_word_on_brood_is_none():
    told = later_count(visited(counted=replace(LOOKED, frames_of_brood=0.0)), SHELF)
    assert told.seen["brood"] == 0.0
    tenth = later_count(visited(counted=replace(LOOKED, frames_of_brood=0.1)), SHELF).seen["brood"]
    assert told.least["brood"] == pytest.approx(tenth), "a count of none is below a tenth of a frame"
    assert "brood" not in later_count(visited(brood=False), SHELF).told


def test_colonies_counted_one_by_one_are_named():
    told = later_count(visited(one_by_one=True), SHELF)
    assert told.why_not["bees"] == ONE_BY_ONE
    assert told.seen["brood"] > 0, "brood of the average colony stands by itself"


def test_the_error_of_a_count_falls_with_the_hives_looked_into_and_keeps_the_readers():
    def error(looked: int) -> float:
        return later_count(visited(counted=replace(LOOKED, colonies_looked_in=looked)), SHELF).error["bees"]

    reader = SHELF["reader.bees_log_sd"].span.typical ** 2
    assert error(1) > error(4) > error(24)
    assert error(24) == pytest.approx(reader), "every hive was looked into"
    spread = SHELF["colony.log_sd"].span.typical ** 2
    assert error(4) == pytest.approx(reader + spread * (1 / 4 - 1 / 24))


def gone_through(bees: int, *, brood: int = 0, empty: int = 0, gone: int = 0, mixed=()) -> Visited:
    """Hives of a yard of 24, gone through one by one."""
    hives = HiveByHive({"bees": bees, "brood": brood}, frozenset(mixed), empty, gone, (), ())
    frames = LOOKED.frames_of_bees if bees else None
    return visited(counted=replace(LOOKED, frames_of_bees=frames), brood=brood > 0, hives=hives)


def test_hives_gone_through_stand_for_their_yard_with_the_error_of_as_many():
    told = later_count(gone_through(6, brood=4), SHELF)
    assert told.seen["bees"] == later_count(visited(), SHELF).seen["bees"]
    reader, spread = (SHELF[key].span.typical ** 2 for key in ("reader.bees_log_sd", "colony.log_sd"))
    brood = SHELF["reader.brood_log_sd"].span.typical ** 2
    assert told.error["bees"] == pytest.approx(reader + spread * (1 / 6 - 1 / 24))
    assert told.error["brood"] == pytest.approx(brood + spread * (1 / 4 - 1 / 24))
    assert told.hives == {"bees": 6, "brood": 4}


@pytest.mark.parametrize(
    ("visit", "why"),
    [
        (gone_through(3), TOO_FEW),
        (gone_through(3, empty=20), TOO_FEW),
        (gone_through(0, empty=5), EMPTY),
        (gone_through(8, mixed=["bees"]), MIXED),
    ],
    ids=["three of 24", "three, and one was not opened", "only hives without bees", "two kinds of frame"],
)
def test_hives_that_cannot_stand_for_their_yard_are_set_aside(visit, why):
    assert later_count(visit, SHELF).why_not == {"bees": why}


@pytest.mark.parametrize(("bees", "empty", "gone"), [(4, 0, 0), (3, 21, 0), (3, 1, 20), (1, 0, 23)])
def test_four_hives_or_all_that_live_are_enough(bees, empty, gone):
    told = later_count(gone_through(bees, empty=empty, gone=gone), SHELF)
    assert not told.why_not
    assert told.seen["bees"] > 0
    assert told.empty == empty


def test_a_yard_in_which_no_hive_had_bees_is_dead():
    assert later_count(gone_through(0, empty=22, gone=2), SHELF).seen == {"bees": 0.0}
