"""Of which day a record is where its phone's clock was wrong, or was set before it was sent. Invented."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import UUID

import pytest
from sqlalchemy import Engine, select

from breadline.errors import RecordError
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_tables import FieldEntry
from breadline.records.field_word import decide, of_day
from breadline.records.ids import new_id
from records.test_field import NOW, frames, place, record, take

__all__ = ["place"]
DAY_S = 86_400.0


def clock(ahead_days: float, met: datetime) -> dict:
    return {"ahead": ahead_days * DAY_S, "met": met.isoformat()}


def days(book: Engine) -> list[str]:
    with looking(book) as session:
        return [row.on.isoformat() for row in session.scalars(select(FieldEntry).order_by(FieldEntry.id))]


def test_a_clock_put_right_before_sending_leaves_the_day_that_it_was(book: Engine, place) -> None:
    """Two days behind when entered on 2 May, and right when it was sent on 3 May."""
    behind = record(place, at="2026-04-30T10:30:00+02:00", clock=clock(-2, NOW - timedelta(days=2)))
    assert take(book, behind)[0][0] == "stored"
    assert days(book) == ["2026-05-02"]


def test_a_clock_put_right_before_it_was_entered_is_believed(book: Engine, place) -> None:
    right = record(place, at="2026-05-03T10:30:00+02:00", clock=clock(-2, NOW - timedelta(days=9)))
    assert take(book, right) == [("stored", "")]
    assert days(book) == ["2026-05-03"]


def test_where_both_days_could_be_a_person_says_which_and_nothing_is_lost(book: Engine, place) -> None:
    told = record(place, at="2026-04-29T10:30:00+02:00", clock=clock(-2, NOW - timedelta(days=20)))
    ((answer, why),) = take(book, told)
    assert answer == "conflict"
    assert "is it of 2026-04-29 or of 2026-05-01?" in why
    with writing(book) as session:
        (question,) = questions(session)
        with pytest.raises(RecordError, match="a day of the last year"):
            of_day(session, question.entry.id, NOW.date() + timedelta(days=90), "", NOW)
        session.rollback()
    with writing(book) as session:
        of_day(session, questions(session)[0].entry.id, datetime(2026, 5, 1).date(), "sure", NOW)
    with looking(book) as session:
        assert questions(session) == []
    assert frames(book, place) == [("A1", 7.5)]
    assert days(book) == ["2026-04-29", "2026-05-01"]
    assert take(book, told)[0][0] == "duplicate"
    mend = record(
        place, at="2026-05-01T11:00:00+02:00", mends=told["id"], seen={"queen_status": {"word": "eggs"}}
    )
    assert take(book, mend)[0][0] == "stored"


def test_a_time_before_the_phone_last_reached_us_cannot_be(book: Engine, place) -> None:
    """Its battery was empty, and the clock began anew in January."""
    told = record(place, at="2026-01-01T00:10:00+01:00", clock=clock(0, NOW - timedelta(days=1)))
    ((answer, why),) = take(book, told)
    assert (answer, "of which day is it?" in why) == ("conflict", True)
    assert frames(book, place) == []


def test_a_clock_that_is_wrong_all_along_is_set_right_as_before(book: Engine, place) -> None:
    behind = NOW - timedelta(days=365)
    told = record(place, at="2025-05-03T10:30:00+02:00", clock=clock(-365, NOW - timedelta(hours=3)))
    ((answer, why),) = take(book, told, now=behind.isoformat())
    assert answer == "stored"
    assert "365 days behind" in why
    assert days(book) == ["2026-05-03"]


def of_two_days(place, **more) -> dict:
    """An entry of which the phone's clock leaves two days open: 29 April or 1 May."""
    return record(place, at="2026-04-29T10:30:00+02:00", clock=clock(-2, NOW - timedelta(days=20)), **more)


def bees(value: float) -> dict:
    return {"frames_of_bees": {"value": value, "unit": "frames", "definition": "one_layer"}}


def moved(book: Engine, entry: dict) -> None:
    """A person's word that it is of 1 May."""
    with writing(book) as session:
        of_day(session, UUID(entry["id"]), datetime(2026, 5, 1).date(), "on the lid", NOW)


@pytest.mark.parametrize("with_doubt", [True, False])
def test_a_mend_of_an_entry_moved_to_another_day_takes_its_place_there(book, place, with_doubt) -> None:
    first = of_two_days(place, seen=bees(6.0))
    take(book, first)
    moved(book, first)
    mend = of_two_days(place, seen=bees(4.0), mends=first["id"])
    if not with_doubt:  # its phone says the day that the first one came for, and nothing of its clock
        del mend["clock"]
    assert take(book, mend) == [("stored", "")]
    assert frames(book, place) == [("A1", 4.0)], "in the place of the one that was moved, and asked of nobody"
    assert days(book)[-1] == "2026-05-01"
    assert take(book, mend)[0][0] == "duplicate"
    again = of_two_days(place, seen=bees(3.0), mends=mend["id"])
    assert take(book, again) == [("stored", "")], "and once more"
    assert frames(book, place) == [("A1", 3.0)]
    gone = {"id": str(new_id()), "work": "look", "yard": str(place), "tag": "A1", "at": again["at"]}
    assert take(book, gone | {"withdraws": again["id"], "because": "wrong hive"}) == [("stored", "")]
    assert frames(book, place) == []
    with looking(book) as session:
        assert questions(session) == []


def test_a_mend_that_came_before_the_word_on_the_day_is_asked_about_alone(book: Engine, place) -> None:
    first = of_two_days(place, seen=bees(6.0))
    mend = of_two_days(place, seen=bees(4.0), mends=first["id"])
    assert [one[0] for one in take(book, first, mend)] == ["conflict", "conflict"]
    with looking(book) as session:
        assert [str(one.entry.id) for one in questions(session)] == [mend["id"]], "the first waits no more"
    moved(book, mend)
    assert frames(book, place) == [("A1", 4.0)]
    assert days(book)[-1] == "2026-05-01"
    with looking(book) as session:
        assert questions(session) == []


def test_a_mend_of_a_moved_entry_by_another_phone_is_asked_about_beside_it(book: Engine, place) -> None:
    first = of_two_days(place, seen=bees(6.0))
    take(book, first)
    moved(book, first)
    other = of_two_days(place, seen=bees(4.0), mends=first["id"])
    assert take(book, other, phone="crew 2")[0][0] == "conflict"
    with writing(book) as session:
        (question,) = questions(session)
        assert question.against.on == question.entry.on == datetime(2026, 5, 1).date()
        decide(session, question.entry.id, True, None, "so it is")
    assert frames(book, place) == [("A1", 4.0)]


def test_an_entry_that_nobody_moved_is_mended_on_its_own_day_alone(book: Engine, place) -> None:
    first = record(place, at="2026-05-02T10:30:00+02:00", seen=bees(6.0))
    take(book, first)
    later = record(place, seen=bees(4.0), mends=first["id"])
    assert take(book, later) == [("stored", "")]
    assert sorted(frames(book, place)) == [("A1", 4.0), ("A1", 6.0)], "a page left open, and no mending"
