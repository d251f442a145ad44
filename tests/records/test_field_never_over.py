"""What a phone sends late never goes over what was written down, and one hive stays one. Invented."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy import Engine

from breadline.records import colonies, field, yards
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_word import decide
from records.test_field import NOW, frames, place, record, sent, take
from records.test_field_taken_back import back, bees

__all__ = ["place"]
EARLY = "2026-05-01T10:30:00+02:00"


def rows(book: Engine, place) -> list[colonies.InRow]:
    with looking(book) as session:
        return colonies.in_rows(session, place)


def test_dead_before_it_was_merged_or_sold_is_a_question(book: Engine, place) -> None:
    with writing(book) as session:
        one, two, three = colonies.in_rows(session, place)
        colonies.ended(session, one.id, "merged", NOW.date(), two.id)
        colonies.ended(session, three.id, "sold", NOW.date())
    before = rows(book, place)
    late = [record(place, tag, at=EARLY, seen={}, standing="dead") for tag in ("A1", "A3")]
    (merged, why), (sold, _) = take(book, *late)
    assert (merged, sold) == ("conflict", "conflict")
    assert "merged into A2 since 2026-05-03" in why
    assert rows(book, place) == before
    with writing(book) as session:
        decide(session, questions(session)[0].entry.id, True, None, "it was empty")
    assert (rows(book, place)[0].standing, rows(book, place)[0].into) == ("dead", None)


def test_a_mend_to_dead_of_a_hive_that_was_merged_since_is_a_question(book: Engine, place) -> None:
    first = record(place, at=EARLY)
    take(book, first)
    with writing(book) as session:
        one, two, _ = colonies.in_rows(session, place)
        colonies.ended(session, one.id, "merged", NOW.date(), two.id)
    mend = record(place, at=EARLY, seen={}, standing="dead", mends=first["id"])
    assert take(book, mend)[0][0] == "conflict"
    assert (rows(book, place)[0].standing, frames(book, place)) == ("merged", [("A1", 7.5)])


def test_a_new_hive_stays_one_where_a_dead_one_is_mended_between(book: Engine, place) -> None:
    dead = record(place, "A2", seen={}, standing="dead")
    take(book, dead)
    batch = sent(
        record(place, "B9", new=True), record(place, "A2", mends=dead["id"]),
        record(place, "B9", new=True, work="round"),
    )  # fmt: skip
    with writing(book) as session:
        assert [one.answer for one in field.take_all(session, batch, NOW)] == ["stored"] * 3
    assert [one.tag for one in rows(book, place)] == ["A1", "A2", "A3", "B9"]


def test_a_mend_that_was_taken_back_before_it_came_takes_the_first_entry_along(book: Engine, place) -> None:
    first = record(place, seen=bees(7.0))
    mend = record(place, seen=bees(9.0), mends=first["id"])
    other = record(place, "A2", seen=bees(4.0))
    take(book, first, other)
    assert take(book, back(place, mend), mend)[0][0] == "stored"
    assert frames(book, place) == [("A2", 4.0)]


def test_what_another_phone_entered_stays_where_a_mend_of_it_was_taken_back(book: Engine, place) -> None:
    first = record(place, seen=bees(7.0))
    mend = record(place, seen=bees(9.0), mends=first["id"])
    take(book, first)
    take(book, back(place, mend), mend, phone="crew 2")
    assert frames(book, place) == [("A1", 7.0)]


def test_a_hive_seen_twice_counts_in_the_mean_as_seen_last_and_not_as_sent_last(book: Engine, place) -> None:
    take(book, record(place, at="2026-05-03T10:50:00+02:00", seen=bees(5.0)), phone="crew 2")
    take(book, record(place, at="2026-05-03T07:00:00+02:00", seen=bees(9.0), work="round"))
    assert len(frames(book, place)) == 2
    with looking(book) as session:
        assert yards.yard_as_known(session, place, NOW.date()).inspections[-1].frames_each == (5.0,)


def test_a_tag_that_two_hives_could_have_worn_on_a_day_is_a_question(book: Engine, place) -> None:
    with writing(book) as session:
        colonies.ended(
            session, colonies.in_rows(session, place)[0].id, "dead", NOW.date() - timedelta(days=1)
        )
        colonies.place_colony(session, place, "A1")
    answer, why = take(book, record(place, at=EARLY))[0]
    assert answer == "conflict"
    assert "2 hives could wear the tag A1 on 2026-05-01" in why
    assert take(book, record(place)) == [("stored", "")], "the first one was gone by then"
