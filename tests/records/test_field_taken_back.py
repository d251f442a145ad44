"""Entries that are taken back: nothing of them counts, and all of it stays in the file. Invented."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from sqlalchemy import Engine, select

from breadline.jobs.field_record import Unread
from breadline.records import colonies, readings, yards
from breadline.records.append_only import current
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_tables import FieldEntry
from breadline.records.field_word import decide, of_day
from breadline.records.ids import new_id
from breadline.records.tables import Reading, Visit
from records.test_field import NOW, frames, place, record, sent, take

__all__ = ["place"]


def back(place, of, tag="A1", **more):
    """A record that takes another one back."""
    told = {"id": str(new_id()), "work": "look", "yard": str(place), "tag": tag,
            "at": "2026-05-03T10:40:00+02:00", "withdraws": of["id"], "because": "wrong hive"}  # fmt: skip
    return told | more


def bees(value):
    return {"frames_of_bees": {"value": value, "unit": "frames", "definition": "one_layer"}}


def test_what_is_taken_back_counts_no_more_and_stays_in_the_file(book: Engine, place) -> None:
    with looking(book) as session:
        before = yards.yard_as_known(session, place, NOW.date())
    full = {**bees(6.0), "bread": {"value": 1.0, "unit": "frames"}, "put_on": {"value": 450.0, "unit": "g"}}
    wrong = record(place, seen=full)
    assert take(book, wrong)[0][0] == "stored"
    with looking(book) as session:
        assert yards.yard_as_known(session, place, NOW.date()) != before
    assert take(book, back(place, wrong)) == [("stored", "")]
    with looking(book) as session:
        assert yards.yard_as_known(session, place, NOW.date()) == before, "no mean, no feed, no visit of it"
        assert session.get(FieldEntry, next(iter(sent(wrong))).id) is not None
        rows = list(session.scalars(select(Reading).where(Reading.withdrawn.is_(True))))
        assert {row.because for row in rows} == {"wrong hive"}
        assert len(rows) == 3


def test_a_taking_back_sent_twice_is_one_and_the_entry_sent_again_stays_away(book: Engine, place) -> None:
    wrong = record(place)
    gone = back(place, wrong)
    assert [one[0] for one in take(book, wrong, gone, gone, wrong)] == [
        "stored", "stored", "duplicate", "duplicate",
    ]  # fmt: skip
    assert take(book, back(place, wrong)) == [("stored", "it had been taken back before")]
    assert take(book, gone | {"because": "another"})[0][0] == "refused", "its key stands for what was sent"
    assert frames(book, place) == []


def test_the_hive_is_entered_anew_after_its_entry_was_taken_back(book: Engine, place) -> None:
    wrong = record(place)
    anew = record(place, seen=bees(3.0))
    assert [one[0] for one in take(book, wrong, back(place, wrong), anew)] == ["stored"] * 3
    assert frames(book, place) == [("A1", 3.0)]


def test_a_taking_back_that_comes_before_its_entry_keeps_it_out(book: Engine, place) -> None:
    late = record(place)
    answer, why = take(book, back(place, late))[0]
    assert answer == "stored"
    assert "it has not come yet" in why
    assert take(book, late) == [("stored", "it was taken back before it came")]
    assert take(book, late) == [("duplicate", "it was taken back")]
    assert frames(book, place) == []


def test_another_phone_takes_back_only_by_a_persons_word(book: Engine, place) -> None:
    first = record(place)
    take(book, first)
    answer, why = take(book, back(place, first), phone="crew 2")[0]
    assert answer == "conflict"
    assert "another phone takes back" in why
    assert frames(book, place) == [("A1", 7.5)]
    with writing(book) as session:
        decide(session, questions(session)[0].entry.id, False, None, "it was right")
    assert frames(book, place) == [("A1", 7.5)]
    take(book, back(place, first), phone="crew 3")
    with writing(book) as session:
        decide(session, questions(session)[0].entry.id, True, None, "it was wrong")
        assert questions(session) == []
    assert frames(book, place) == []


def test_an_entry_that_waits_is_taken_back_with_its_question(book: Engine, place) -> None:
    take(book, record(place))
    other = record(place, seen=bees(2.0))
    assert take(book, other)[0][0] == "conflict"
    assert take(book, back(place, other)) == [("stored", "")]
    with looking(book) as session:
        assert questions(session) == []
    assert frames(book, place) == [("A1", 7.5)]


def test_a_question_against_what_was_taken_back_or_mended_is_asked_of_what_stands(
    book: Engine, place
) -> None:
    first, other = record(place), record(place, seen=bees(2.0))
    take(book, first)
    assert take(book, other, phone="crew 2")[0][0] == "conflict"
    mend = record(place, seen=bees(5.0), mends=first["id"])
    assert take(book, mend)[0][0] == "stored"
    with looking(book) as session:
        (question,) = questions(session)
        assert str(question.against.id) == mend["id"]
    assert take(book, back(place, mend))[0][0] == "stored"
    with writing(book) as session:
        (question,) = questions(session)
        assert question.against is None
        assert "was taken back" in question.why
        decide(session, question.entry.id, True, None, "")
    assert frames(book, place) == [("A1", 2.0)]


def test_what_an_entry_had_taken_the_place_of_does_not_come_back(book: Engine, place) -> None:
    first = record(place)
    mend = record(place, seen=bees(5.0), mends=first["id"])
    take(book, first, mend)
    assert take(book, back(place, first))[0] == (
        "stored",
        "another entry had taken its place before: that one stands",
    )
    assert frames(book, place) == [("A1", 5.0)]
    take(book, back(place, mend))
    assert frames(book, place) == []


def test_a_hive_found_dead_by_mistake_stands_again_unless_more_was_said_since(book: Engine, place) -> None:
    dead, also = record(place, seen={}, standing="dead"), record(place, seen={}, standing="dead")
    take(book, dead)
    take(book, also, phone="crew 2")
    take(book, back(place, dead))
    with looking(book) as session:
        assert colonies.in_rows(session, place)[0].standing == "dead", "the other one found it so too"
    take(book, back(place, also), phone="crew 2")
    with looking(book) as session:
        assert colonies.in_rows(session, place)[0].standing == "stands"
    again = record(place, seen={}, standing="dead")
    take(book, again)
    with writing(book) as session:
        one, two, _ = colonies.in_rows(session, place)
        colonies.ended(session, one.id, "merged", NOW.date(), two.id)
    take(book, back(place, again))
    with looking(book) as session:
        assert colonies.in_rows(session, place)[0].standing == "merged", "that was said later"


def test_the_visit_goes_with_its_last_entry(book: Engine, place) -> None:
    one, two = record(place), record(place, tag="A2")
    take(book, one, two, back(place, one))
    with looking(book) as session:
        assert len(list(session.scalars(current(Visit).where(Visit.note == "entered on a phone")))) == 1
    take(book, back(place, two, "A2"))
    with looking(book) as session:
        assert not list(session.scalars(current(Visit).where(Visit.note == "entered on a phone")))
        assert readings.visits(session, place, NOW.date())


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"seen": bees(2.0)}, "tells nothing else"),
        ({"standing": "dead"}, "tells nothing else"),
        ({"mends": str(new_id())}, "tells nothing else"),
        ({"withdraws": None}, "without the key"),
        ({"withdraws": "A1"}, "withdraws"),
    ],
)
def test_a_taking_back_tells_nothing_else(place, more, says) -> None:
    (bad,) = sent(back(place, record(place)) | more)
    assert isinstance(bad, Unread)
    assert says in bad.why


def test_a_taking_back_cannot_be_taken_back(book: Engine, place) -> None:
    one = record(place)
    gone = back(place, one)
    take(book, one, gone)
    answer, why = take(book, back(place, gone))[0]
    assert answer == "refused"
    assert "Enter the hive again" in why


def of_two_days(place, **more):
    """An entry of which the phone's clock leaves two days open: 29 April or 1 May."""
    met = {"ahead": -2 * 86_400.0, "met": (NOW - timedelta(days=20)).isoformat()}
    return record(place, at="2026-04-29T10:30:00+02:00", clock=met, **more)


def moved(book: Engine, entry, on=date(2026, 5, 1)) -> None:
    """A person's word on its day."""
    with writing(book) as session:
        (one,) = [each for each in questions(session) if str(each.entry.id) == entry["id"]]
        of_day(session, one.entry.id, on, "seen on the lid", NOW)


def test_an_entry_moved_to_another_day_goes_when_its_phone_takes_it_back(book: Engine, place) -> None:
    wrong = of_two_days(place, seen=bees(6.0))
    assert take(book, wrong)[0][0] == "conflict"
    moved(book, wrong)
    assert frames(book, place) == [("A1", 6.0)]
    anew = record(place, at="2026-05-01T12:00:00+02:00", seen=bees(4.0))
    assert take(book, back(place, wrong), anew) == [("stored", ""), ("stored", "")], (
        "no question of what went"
    )
    assert frames(book, place) == [("A1", 4.0)]
    assert take(book, back(place, wrong)) == [("stored", "it had been taken back before")]


def test_another_phone_takes_a_moved_entry_back_by_a_persons_word(book: Engine, place) -> None:
    wrong = of_two_days(place)
    take(book, wrong)
    moved(book, wrong)
    told = back(place, wrong)
    assert take(book, told, phone="two")[0][0] == "conflict"
    with writing(book) as session:
        (one,) = questions(session)
        decide(session, one.entry.id, True, None, "so it is")
    assert frames(book, place) == []


def test_a_moved_entry_that_waits_for_a_word_goes_with_its_question(book: Engine, place) -> None:
    take(book, record(place, at="2026-05-01T09:00:00+02:00", seen=bees(9.0)))
    wrong = of_two_days(place, seen=bees(6.0))
    take(book, wrong)
    moved(book, wrong)
    with looking(book) as session:
        assert len(questions(session)) == 1, "the other day has an entry that says otherwise"
    assert take(book, back(place, wrong)) == [("stored", "")]
    with looking(book) as session:
        assert questions(session) == []
    assert frames(book, place) == [("A1", 9.0)]
