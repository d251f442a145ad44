"""What phones, sheets and other works say of one hive on one day: once, or a question. Invented."""

from __future__ import annotations

import pytest
from sqlalchemy import Engine

from breadline.jobs.field_why import why_said
from breadline.jobs.field_words import reading_words
from breadline.language import speaking
from breadline.need.yard import Yard
from breadline.records import colonies, readings, yard_rows, yards
from breadline.records.append_only import current
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_word import set_aside
from breadline.records.readings import Look, Seen
from breadline.records.tables import Reading
from records.test_field import NOW, frames, place, record, take
from records.test_field_other_hive import in_place, refused
from records.test_field_questions import word
from records.test_field_taken_back import back, bees

__all__ = ["place"]
FED = {"put_on": {"value": 450.0, "unit": "g"}}


def brought(book: Engine, place, grams: float, *tags: str) -> None:
    """Rows of a sheet for hives of the yard: frames and what was put on."""
    with writing(book) as session:
        visit = readings.add_visit(
            session,
            place,
            Look(NOW.date(), start=yard_rows.INSPECTION, note=f"{yard_rows.FROM_SHEET}may.csv"),
        )
        for one in colonies.in_rows(session, place):
            if one.tag in tags:
                readings.add(session, visit.id, Seen("put_on", grams, "g"), one.id)


def fed(book: Engine, place) -> list[float]:
    with looking(book) as session:
        given = yards.yard_as_known(session, place, NOW.date()).given
    return [one.grams for one in given if one.on == NOW.date()]


@pytest.mark.parametrize("sheet_first", [True, False])
def test_a_sheet_and_a_phone_that_say_the_same_count_once(book, place, yard: Yard, sheet_first: bool) -> None:
    if sheet_first:
        brought(book, place, 450.0, "A1", "A2")
    assert take(book, record(place, seen=FED), record(place, "A2", seen=FED)) == [("stored", "")] * 2
    if not sheet_first:
        brought(book, place, 450.0, "A1", "A2")
    assert fed(book, place) == [pytest.approx(450.0)]
    brought(book, place, 450.0, "A1", "A2", "A3")  # the same sheet, longer by a row
    assert fed(book, place) == [pytest.approx(450.0)]


def test_what_a_phone_said_is_taken_back_and_the_sheet_still_says_it(book: Engine, place) -> None:
    brought(book, place, 450.0, "A1")
    one = record(place, seen=FED)
    take(book, one, back(place, one))
    assert fed(book, place) == [pytest.approx(450.0)]


@pytest.mark.parametrize(("taken", "grams"), [(True, 450.0), (False, 200.0)])
def test_another_number_than_that_of_a_sheet_is_a_question(book, place, taken: bool, grams: float) -> None:
    brought(book, place, 200.0, "A1")
    ((answer, why),) = take(book, record(place, seen=FED))
    assert answer == "conflict"
    assert "brought in from a sheet for this day too, with put on 200" in why
    with looking(book) as session:
        (asked,) = questions(session)
    with speaking("es"):  # in the language of whoever reads it; what an older book kept is its text
        assert "vino también de una hoja" in why_said(asked.why, asked.asked_by, reading_words)
        assert "se puso 200 g" in why_said(asked.why, asked.asked_by, reading_words)
        assert why_said(asked.why, None, reading_words) == why
    word(book, taken)
    assert fed(book, place) == [pytest.approx(grams)]


@pytest.mark.parametrize(
    ("put", "taken", "grams"), [(450.0, None, 450.0), (200.0, True, 200.0), (200.0, False, 450.0)]
)
def test_a_yards_average_of_a_sheet_and_what_a_phone_put_on_count_once(
    book, place, put, taken, grams
) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, place, Look(NOW.date(), note=f"{yard_rows.FROM_SHEET}may.csv"))
        readings.add(session, visit.id, Seen("feed_given", 450.0, "g/colony", on=NOW.date()))
    ((answer, why),) = take(book, record(place, seen={"put_on": {"value": put, "unit": "g"}}))
    assert answer == ("stored" if taken is None else "conflict")
    if taken is not None:
        assert "what this yard had on average that day, put on 450" in why
        word(book, taken)
    assert fed(book, place) == [pytest.approx(grams)]


def averaged(book, place) -> None:
    """A row of a sheet that says what the yard was fed on average."""
    with writing(book) as session:
        visit = readings.add_visit(session, place, Look(NOW.date(), note=f"{yard_rows.FROM_SHEET}may.csv"))
        readings.add(session, visit.id, Seen("feed_given", 450.0, "g/colony", on=NOW.date()))


def set_asides(book) -> None:
    with writing(book) as session:
        set_aside(session, questions(session)[0].entry.id, "the sheet holds")


PUT = {"put_on": {"value": 200.0, "unit": "g"}}


def test_keeping_a_sheets_average_sets_nothing_aside_but_the_feed(book, place) -> None:
    averaged(book, place)
    one = record(place, seen=bees(6.5) | PUT)
    assert take(book, one)[0][0] == "conflict"
    with looking(book) as session:
        assert questions(session)[0].feed_alone
    set_asides(book)
    assert fed(book, place) == [pytest.approx(450.0)]
    assert frames(book, place) == [("A1", 6.5)]
    assert take(book, one)[0][0] == "duplicate"  # the phone sends again: nothing is twice
    assert frames(book, place) == [("A1", 6.5)]
    assert take(book, back(place, one))[0][0] == "stored"  # and takes it back: nothing of it is left
    assert frames(book, place) == []


def test_what_another_phone_said_meanwhile_is_asked_about_then(book, place) -> None:
    averaged(book, place)
    take(book, record(place, seen=bees(6.5) | PUT))
    take(book, record(place, seen=bees(8.0)), phone="two")
    set_asides(book)
    with looking(book) as session:
        (asked,) = questions(session)
        assert not asked.feed_alone
    assert "was entered on another phone" in asked.why
    assert frames(book, place) == [("A1", 8.0)]
    stands = refused(book)
    assert [one.before.said for one in stands] == [
        {"frames_of_bees": (8.0, None)},
        {"put_on": (450.0, None)},
    ], "the kept average"
    assert fed(book, place) == [pytest.approx(450.0)]
    in_place(book, stands)
    assert frames(book, place) == [("A1", 6.5)]


def test_feed_alone_and_another_doubt_are_set_aside_whole(book, place) -> None:
    averaged(book, place)
    take(book, record(place, seen=PUT))
    with looking(book) as session:
        assert not questions(session)[0].feed_alone
    set_asides(book)
    assert fed(book, place) == [pytest.approx(450.0)]
    doubted = record(place, seen=bees(85.0) | PUT)  # frames that no hive has: asked about for that
    assert take(book, doubted)[0][0] == "conflict"
    set_asides(book)
    assert frames(book, place) == []


@pytest.mark.parametrize("dead_first", [True, False])
def test_dead_under_one_work_and_frames_under_another_is_a_question(book, place, dead_first: bool) -> None:
    dead, alive = record(place, work="round", seen={}, standing="dead"), record(place, work="look")
    first, second = (dead, alive) if dead_first else (alive, dead)
    take(book, first)
    ((answer, why),) = take(book, second)
    assert answer == "conflict"
    assert ("as dead" if dead_first else "as alive") in why
    word(book, True)
    with looking(book) as session:
        assert colonies.in_rows(session, place)[0].standing == ("stands" if dead_first else "dead")
        assert questions(session) == []
    assert frames(book, place) == ([("A1", 7.5)] if dead_first else [])


def test_dead_and_no_frames_go_together(book: Engine, place) -> None:
    dead, empty = record(place, work="round", seen={}, standing="dead"), record(place, seen=bees(0.0))
    assert [one[0] for one in take(book, dead, empty)] == ["stored", "stored"]


def test_notes_of_a_sheet_ask_nothing(book: Engine, place) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, place, Look(NOW.date(), note=f"{yard_rows.FROM_SHEET}may.csv"))
        one = colonies.in_rows(session, place)[0]
        readings.add(session, visit.id, Seen("note", note="heavy"), one.id)
    assert take(book, record(place, spoken="light"))[0][0] == "stored"
    with looking(book) as session:
        notes = session.scalars(current(Reading).where(Reading.kind == "note")).all()
    assert sorted(row.note for row in notes if row.colony_id) == ["heavy", "light"]
