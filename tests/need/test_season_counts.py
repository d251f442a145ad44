"""Counts gathered in a book become one start and its inspections. All yards made up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.knowledge.shelf import load
from breadline.need.fit.season_counts import (
    Look,
    as_inspection,
    begun_at_first_count,
    of_this_season,
    same_look,
)
from breadline.need.yard import Count, Inspection, Place, Yard

READER = load().reader()
APRIL = Count(date(2027, 4, 1), 0.5, "frames", 6.0, "one_layer", 2.5, colonies_looked_in=6)
MAY = replace(APRIL, on=date(2027, 5, 1), frames_of_bees=9.0, frames_of_brood=5.0, bread=0.25)
JUNE = replace(APRIL, on=date(2027, 6, 1), frames_of_bees=13.0, frames_of_brood=7.0)
YARD = Yard("Made up", Place(42.0), 24, date(2027, 6, 3), JUNE)


def looks(*seen: Count | Inspection) -> tuple[Look, ...]:
    return tuple(Look(one.on, one) for one in seen)


def days(yard: Yard) -> list[date]:
    return [yard.count.on, *(one.on for one in yard.inspections)]


def test_the_first_count_of_the_season_is_the_start_and_each_later_one_an_inspection() -> None:
    told = begun_at_first_count(YARD, looks(APRIL, MAY), READER)
    assert told.count == APRIL
    assert days(told) == [APRIL.on, MAY.on, JUNE.on]
    may, june = told.inspections
    assert (may.frames_of_bees, may.frames_of_brood, may.bread, may.bread_unit) == (9.0, 5.0, 0.25, "frames")
    assert (june.frames_of_bees, june.frame_means, june.colonies_looked_in) == (13.0, "one_layer", 6)


def test_one_count_stays_what_it_is() -> None:
    assert begun_at_first_count(YARD, (), READER) is YARD


@pytest.mark.parametrize(
    "earlier",
    [
        replace(APRIL, on=date(2026, 9, 1)),  # winter lies between
        replace(APRIL, on=date(2026, 11, 20)),  # before midwinter
        replace(APRIL, frames_of_bees=0.0),  # they died
        replace(APRIL, frame_means=None),  # a frame of what, nobody knows
        replace(APRIL, frames_of_bees=None, frame_means=None),  # bread alone
        replace(APRIL, frames_of_brood=0.0, brood_counted=False),  # no word on brood
    ],
)
def test_a_count_that_no_fit_can_begin_from_is_left_out(earlier: Count) -> None:
    assert days(begun_at_first_count(YARD, looks(earlier, MAY), READER)) == [MAY.on, JUNE.on]
    assert begun_at_first_count(YARD, looks(earlier), READER) is YARD


def test_a_later_count_may_leave_bees_and_brood_open() -> None:
    bread = replace(MAY, frames_of_bees=None, frame_means=None, frames_of_brood=0.0, brood_counted=False)
    told = begun_at_first_count(YARD, looks(APRIL, bread), READER)
    assert told.count == APRIL
    may, _ = told.inspections
    assert (may.frames_of_bees, may.frames_of_brood, may.bread) == (None, None, 0.25)


def test_more_than_half_a_year_back_is_no_start() -> None:
    far = replace(YARD, today=date(2027, 8, 3), count=replace(JUNE, on=date(2027, 8, 1)))
    early = replace(APRIL, on=date(2027, 1, 20))
    assert days(begun_at_first_count(far, looks(early, MAY), READER))[0] == MAY.on


def test_an_inspection_after_the_newest_count_can_be_too_far_for_a_start() -> None:
    early, last = replace(APRIL, on=date(2027, 1, 20)), Inspection(date(2027, 8, 1), 6, 12.0, "one_layer")
    assert days(begun_at_first_count(YARD, looks(early), READER))[0] == early.on
    far = replace(YARD, today=date(2027, 8, 3), inspections=(last,))
    assert begun_at_first_count(far, looks(early), READER) is far


@pytest.mark.parametrize("new", [{"afresh": True}, {"start": "nuc"}, {"start": "package"}])
def test_other_colonies_begin_afresh(new: dict) -> None:
    told = begun_at_first_count(YARD, looks(APRIL, replace(MAY, **new)), READER)
    assert days(told) == [MAY.on, JUNE.on]
    newest = replace(YARD, count=replace(JUNE, **new))
    assert begun_at_first_count(newest, looks(APRIL, MAY), READER) is newest


def test_a_package_is_a_start_and_its_first_count_in_frames_an_inspection() -> None:
    package = replace(APRIL, frames_of_bees=None, frame_means=None, bees_kg=1.5, start="package")
    told = begun_at_first_count(YARD, looks(package), READER)
    assert told.count == package
    assert told.inspections == (as_inspection(JUNE),)


def test_a_mended_count_takes_the_place_of_the_one_written_before_it() -> None:
    slip = replace(APRIL, frames_of_bees=60.0)
    told = begun_at_first_count(YARD, looks(slip, APRIL, MAY), READER)
    assert told.count == APRIL
    assert days(told) == [APRIL.on, MAY.on, JUNE.on]


def test_a_count_written_as_an_inspection_too_is_one_look() -> None:
    by_hive = Inspection(MAY.on, 3, None, "one_layer", (8.0, 9.0, 10.0), reader="A")
    told = begun_at_first_count(YARD, looks(APRIL, by_hive, MAY), READER)
    (may, _) = told.inspections
    assert may.frames_each == (8.0, 9.0, 10.0)
    assert (may.reader, may.frames_of_brood, may.bread) == ("A", 5.0, 0.25)


def test_two_looks_of_one_day_that_differ_are_both_kept() -> None:
    other = Inspection(MAY.on, 3, 7.0, "one_layer", reader="A")
    told = begun_at_first_count(YARD, looks(APRIL, other, MAY), READER)
    assert days(told) == [APRIL.on, MAY.on, MAY.on, JUNE.on]


def test_an_inspection_that_became_the_start_is_not_counted_again() -> None:
    same = Inspection(APRIL.on, 6, 6.0, "frame_of_bees.one_layer")
    assert days(begun_at_first_count(YARD, looks(same, APRIL), READER)) == [APRIL.on, JUNE.on]


def test_the_years_before_the_start_stay_out_and_inspections_between_come_along() -> None:
    old, between = (
        Inspection(date(2026, 6, 1), 4, 9.0, "one_layer"),
        Inspection(date(2027, 4, 20), 4, 8.0, "one_layer"),
    )
    told = begun_at_first_count(YARD, looks(old, APRIL, between), READER)
    assert days(told) == [APRIL.on, between.on, JUNE.on]


def test_dead_hives_between_two_counts_stop_the_season() -> None:
    dead = Inspection(date(2027, 4, 20), 4, 0.0, "one_layer")
    assert begun_at_first_count(YARD, looks(APRIL, dead), READER) is YARD


def test_feed_nobody_wrote_down_is_remembered_from_the_start_on() -> None:
    before, after = Look(date(2027, 3, 1), None, True), Look(date(2027, 4, 10), None, True)
    assert not begun_at_first_count(YARD, (before, *looks(APRIL)), READER).fed_without_record
    assert begun_at_first_count(YARD, (*looks(APRIL), after), READER).fed_without_record


def test_brood_nobody_wrote_down_is_no_count_of_brood() -> None:
    assert as_inspection(replace(MAY, frames_of_brood=0.0, brood_counted=False)).frames_of_brood is None
    assert as_inspection(replace(MAY, frames_of_brood=0.0)).frames_of_brood == 0.0


def test_where_winter_allows_no_outlook_the_newest_count_stands() -> None:
    late = replace(YARD, today=date(2027, 11, 25), count=replace(JUNE, on=date(2027, 11, 10)))
    assert begun_at_first_count(late, looks(replace(MAY, on=date(2027, 9, 1))), READER) is late


def test_the_same_look_is_told_by_what_both_tell() -> None:
    a = Inspection(MAY.on, 3, 9.0, "one_layer")
    assert same_look(a, as_inspection(MAY))
    assert not same_look(a, replace(a, frame_means="full"))
    assert not same_look(a, Inspection(MAY.on, 3, frames_of_brood=5.0))
    assert not same_look(a, replace(a, on=APRIL.on))
    assert same_look(replace(a, frames_of_bees=8.667), replace(a, frames_of_bees=8.7)), "a mean to a tenth"
    assert not same_look(as_inspection(MAY), replace(a, boxes=("medium",))), "other boxes"


def seen(on: date, **told) -> Inspection:
    return replace(as_inspection(replace(APRIL, on=on)), **told)


def test_whole_inspections_of_a_later_season_begin_it() -> None:
    """A sheet or a phone writes inspections; a year on the first of them is the count, and none is lost."""
    april, may = seen(date(2028, 4, 2), colonies_looked_in=3), seen(date(2028, 5, 2))
    yard = replace(YARD, today=date(2028, 5, 3), inspections=(may, april))
    told, earlier = of_this_season(yard, looks(APRIL), READER)
    assert (told.count.on, told.count.colonies_looked_in) == (april.on, 3)
    assert as_inspection(told.count) == april
    assert told.inspections == (may,)
    assert [look.on for look in earlier] == [APRIL.on, JUNE.on]
    assert days(begun_at_first_count(told, earlier, READER)) == [april.on, may.on]


def test_an_inspection_that_leaves_something_open_begins_no_season() -> None:
    april, may = seen(date(2028, 4, 2), frames_of_brood=None), seen(date(2028, 5, 2))
    yard = replace(YARD, today=date(2028, 5, 3), inspections=(april, may))
    told, earlier = of_this_season(yard, (), READER)
    assert days(told) == [may.on]
    assert [look.on for look in earlier] == [JUNE.on, april.on]
    open_ones = replace(yard, inspections=(april,))
    assert of_this_season(open_ones, (), READER) == (open_ones, ())


def test_inspections_of_the_season_of_the_count_stay_its_inspections() -> None:
    yard = replace(YARD, inspections=(seen(date(2027, 6, 20)),), today=date(2027, 6, 21))
    assert of_this_season(yard, looks(APRIL), READER) == (yard, looks(APRIL))


def test_before_winter_the_last_look_stands_alone_and_no_fit_goes_across() -> None:
    november = seen(date(2028, 11, 25), frame_means=None)
    yard = replace(YARD, today=date(2028, 12, 28), inspections=(seen(date(2028, 8, 1)), november, november))
    told, _ = of_this_season(yard, (), READER)
    assert days(told) == [november.on]
    assert told.count.frame_means == JUNE.frame_means, "a frame is what it was at the count before"
