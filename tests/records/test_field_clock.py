"""Of which day a record is where its phone's clock was wrong, or was set before it was sent. Invented."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from sqlalchemy import Engine, select

from breadline.errors import RecordError
from breadline.records.engine import looking, writing
from breadline.records.field_questions import of_day, questions
from breadline.records.field_tables import FieldEntry
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
