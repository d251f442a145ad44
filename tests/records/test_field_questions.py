"""What an entry puts before a person, and what their word does. Invented."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import Engine

from breadline.need.yard import Yard
from breadline.records import colonies, yards
from breadline.records.append_only import current
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_word import decide
from breadline.records.tables import Reading
from records.test_field import NOW, frames, place, record, take
from records.test_field_taken_back import bees

__all__ = ["place"]


def word(book: Engine, take: bool, colony=None, new: bool = False) -> None:
    """A person's word on the only question."""
    with writing(book) as session:
        (question,) = questions(session)
        decide(session, question.entry.id, take, colony, "looked again", new)


def test_a_question_that_is_taken_keeps_its_spoken_line(book: Engine, place) -> None:
    take(book, record(place))
    take(book, record(place, seen=bees(2.0), spoken="robbed, small cluster"), phone="crew 2")
    word(book, True)
    assert frames(book, place) == [("A1", 2.0)]
    with looking(book) as session:
        notes = [row.note for row in session.scalars(current(Reading).where(Reading.kind == "note"))]
    assert "robbed, small cluster" in notes


def test_a_tag_that_nobody_listed_is_answered_new(book: Engine, place) -> None:
    take(book, record(place, tag="B9"))
    word(book, True, new=True)
    assert frames(book, place) == [("B9", 7.5)]
    assert take(book, record(place, tag="b9", seen={"queen_status": {"word": "eggs"}}))[0][0] == "stored"


def test_all_that_says_otherwise_gives_way_to_what_a_person_takes(book: Engine, place) -> None:
    take(book, record(place))
    take(book, record(place), phone="crew 2")
    take(book, record(place, seen=bees(4.0)), phone="crew 3")
    word(book, True)
    assert frames(book, place) == [("A1", 4.0)], "the two that were alike do not stay beside it"


def test_a_mend_that_another_phone_does_not_share_is_a_question(book: Engine, place) -> None:
    first = record(place)
    take(book, first)
    take(book, record(place), phone="crew 2")
    mend = record(place, seen=bees(9.0), mends=first["id"])
    answer, why = take(book, mend)[0]
    assert answer == "conflict"
    assert "on another phone" in why
    assert frames(book, place) == [("A1", 7.5)], "nothing gave way yet"
    word(book, True)
    assert frames(book, place) == [("A1", 9.0)]


def test_a_mend_of_what_waits_is_one_question_and_of_what_was_taken_back_a_whole_entry(book, place) -> None:
    first, other = record(place), record(place, seen=bees(2.0))
    take(book, first)
    take(book, other, phone="crew 2")
    assert take(book, record(place, seen=bees(7.5), mends=other["id"]), phone="crew 2")[0][0] == "stored"
    with looking(book) as session:
        assert questions(session) == [], "it agrees now"
    assert frames(book, place) == [("A1", 7.5)]


def test_a_mend_for_a_hive_that_was_merged_in_the_meantime_is_a_question(book: Engine, place) -> None:
    first = record(place)
    take(book, first)
    with writing(book) as session:
        one, two, _ = colonies.in_rows(session, place)
        colonies.ended(session, one.id, "merged", NOW.date() - timedelta(days=2), two.id)
    answer, why = take(book, record(place, seen=bees(3.0), mends=first["id"]))[0]
    assert answer == "conflict"
    assert "was merged into A2" in why


@pytest.mark.parametrize(
    ("seen", "says"),
    [
        (
            {"frames_of_bees": {"value": 75.0, "unit": "frames"}},
            "75 frames of bees in one hive: is it so, or was",
        ),
        ({"put_on": {"value": 45_400.0, "unit": "g"}}, "45400 g of feed in one hive: is it so?"),
        ({"mites_per_100": {"value": 250.0}}, "250 mites on 100 bees"),
    ],
)
def test_a_number_that_no_hive_has_is_asked_about_and_taken_where_it_is_so(book, place, seen, says) -> None:
    answer, why = take(book, record(place, seen=seen))[0]
    assert answer == "conflict"
    assert says in why
    with looking(book) as session:
        assert session.scalar(current(Reading).where(Reading.colony_id.is_not(None))) is None
    word(book, True)
    with looking(book) as session:
        kept = session.scalar(current(Reading).where(Reading.colony_id.is_not(None)))
        assert kept is not None
        assert kept.value == next(iter(seen.values()))["value"]


def test_a_tag_scanned_twice_counts_once(book: Engine, place, yard: Yard) -> None:
    fed = {**bees(6.0), "put_on": {"value": 450.0, "unit": "g"}}
    assert [one[0] for one in take(book, record(place, seen=fed), record(place, seen=fed))] == ["stored"] * 2
    with looking(book) as session:
        known = yards.yard_as_known(session, place, NOW.date())
    assert known.inspections[-1].frames_each == (6.0,)
    assert known.given[-1].grams == pytest.approx(450.0), "the hive was fed once"


def test_another_phones_entry_is_mended_only_by_a_persons_word(book: Engine, place) -> None:
    first = record(place)
    take(book, first)
    answer, why = take(book, record(place, seen=bees(3.0), mends=first["id"]), phone="crew 2")[0]
    assert answer == "conflict"
    assert "on another phone" in why
    assert frames(book, place) == [("A1", 7.5)]
    word(book, True)
    assert frames(book, place) == [("A1", 3.0)]


def test_a_question_stands_beside_what_holds_now(book: Engine, place) -> None:
    """Three phones, three numbers; once one is taken, the last question is held against that one."""
    take(book, record(place))
    take(book, record(place, seen=bees(9.0)), phone="crew 2")
    take(book, record(place, seen=bees(4.0)), phone="crew 3")
    with writing(book) as session:
        second = next(one for one in questions(session) if one.entry.phone == "crew 2")
        decide(session, second.entry.id, True, None, "looked again")
    with looking(book) as session:
        (left,) = questions(session)
        assert left.against is not None
        assert (left.entry.phone, left.against.phone) == ("crew 3", "crew 2")
    with writing(book) as session:
        decide(session, left.entry.id, False, None, "the second holds")
    assert frames(book, place) == [("A1", 9.0)]
