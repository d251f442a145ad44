"""Entries of phones in a real book: stored once, answered one by one, nothing decided silently. Invented."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import Engine, select

from breadline.jobs.field_record import Unread, batch_of
from breadline.need.yard import Yard
from breadline.records import colonies, field, field_days, readings, yard_rows, yards
from breadline.records.append_only import current
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_word import decide
from breadline.records.ids import new_id
from breadline.records.tables import Reading

NOW = datetime(2026, 5, 3, 9, 0, tzinfo=UTC)


@pytest.fixture
def place(book: Engine, yard: Yard):
    """A yard of three hives."""
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        for number, tag in enumerate(("A1", "A2", "A3"), start=1):
            colonies.place_colony(session, key, tag, f"pallet {number}", number)
    return key


def record(place, tag="A1", **more):
    told = {
        "id": str(new_id()), "work": "look", "yard": str(place), "tag": tag,
        "at": "2026-05-03T10:30:00+02:00",
        "seen": {"frames_of_bees": {"value": 7.5, "unit": "frames", "definition": "one_layer"}},
    }  # fmt: skip
    return told | more


def sent(*records, now="2026-05-03T11:00:00+02:00", phone="crew 1"):
    body = {"shape": "breadline.field/1", "phone": phone, "now": now, "records": list(records)}
    return batch_of(json.dumps(body).encode(), NOW).records


def take(book, *records, now="2026-05-03T11:00:00+02:00", phone="crew 1"):
    with writing(book) as session:
        return [
            (one.answer, one.why)
            for one in (field.take_in(session, each, NOW) for each in sent(*records, now=now, phone=phone))
        ]


def frames(book, place):
    """Frames of bees that hold, by tag."""
    with looking(book) as session:
        tags = {one.id: one.tag for one in colonies.in_rows(session, place)}
        rows = session.scalars(current(Reading).where(Reading.kind == "frames_of_bees"))
        return [(tags[row.colony_id], row.value) for row in rows if row.colony_id is not None]


def test_what_is_sent_twice_is_stored_once(book: Engine, place) -> None:
    one = record(place)
    assert take(book, one) == [("stored", "")]
    assert take(book, one) == [("duplicate", "it was stored before")]
    assert take(book, one, one)[1][0] == "duplicate"
    assert frames(book, place) == [("A1", 7.5)]


def test_a_key_with_another_content_is_refused(book: Engine, place) -> None:
    one = record(place)
    take(book, one)
    answer, why = take(book, one | {"tag": "A2"})[0]
    assert answer == "refused"
    assert "enter it again" in why
    assert frames(book, place) == [("A1", 7.5)]


def test_two_phones_that_do_not_agree_are_a_question_and_equal_ones_are_not(book: Engine, place) -> None:
    seen = {"frames_of_bees": {"value": 4.0, "unit": "frames", "definition": "one_layer"}}
    same, other = record(place), record(place, seen=seen)
    assert take(book, record(place)) == [("stored", "")]
    assert take(book, same, phone="crew 2")[0][0] == "stored"
    answer, why = take(book, other, phone="crew 2")[0]
    assert answer == "conflict"
    assert "on another phone at 10:30" in why
    with writing(book) as session:
        (question,) = questions(session)
        assert str(question.entry.id) == other["id"]
        decide(session, question.entry.id, True, None, "counted again")
    assert ("A1", 4.0) in frames(book, place)
    with looking(book) as session:
        assert questions(session) == []


def test_setting_a_question_aside_stores_nothing(book: Engine, place) -> None:
    take(book, record(place))
    take(book, record(place, seen={"frames_of_bees": {"value": 2.0, "unit": "frames"}}))
    with writing(book) as session:
        decide(session, questions(session)[0].entry.id, False, None, "wrong hive")
    assert frames(book, place) == [("A1", 7.5)]


def test_an_entry_is_mended_by_a_later_one_of_the_phone(book: Engine, place) -> None:
    first = record(place)
    mend = record(place, mends=first["id"],
                  seen={"frames_of_bees": {"value": 8.0, "unit": "frames"}})  # fmt: skip
    assert [one[0] for one in take(book, first, mend)] == ["stored", "stored"]
    assert frames(book, place) == [("A1", 8.0)]
    again = record(place, mends=first["id"], seen={"frames_of_bees": {"value": 9.0, "unit": "frames"}})
    assert take(book, again)[0][0] == "conflict", "the entry was mended before"
    assert take(book, record(place, mends=str(new_id())))[0][0] == "conflict"


def test_a_dead_hive_is_written_down_and_brought_back_by_mending(book: Engine, place) -> None:
    dead = record(place, seen={}, standing="dead")
    assert take(book, dead)[0][0] == "stored"
    with looking(book) as session:
        assert colonies.in_rows(session, place)[0].standing == "dead"
    assert take(book, record(place, mends=dead["id"]))[0][0] == "stored"
    with looking(book) as session:
        assert colonies.in_rows(session, place)[0].standing == "stands"


def test_a_hive_that_was_merged_is_a_question(book: Engine, place) -> None:
    with writing(book) as session:
        one, two, _ = colonies.in_rows(session, place)
        colonies.ended(session, one.id, "merged", NOW.date() - timedelta(days=9), two.id)
    answer, why = take(book, record(place))[0]
    assert answer == "conflict"
    assert "A1 was merged into A2 since 2026-04-24" in why
    with writing(book) as session:
        decide(session, questions(session)[0].entry.id, True, two.id, "it is A2")
    assert frames(book, place) == [("A2", 7.5)]


def test_an_unknown_tag_is_a_question_unless_the_person_said_that_it_is_new(book: Engine, place) -> None:
    assert take(book, record(place, tag="B9"))[0][0] == "conflict"
    assert take(book, record(place, tag="B8", new=True)) == [("stored", "")]
    assert take(book, record(place, tag="b8"))[0][0] == "stored"


def test_a_clock_a_year_ahead_is_set_right_and_said(book: Engine, place) -> None:
    late = record(place, at="2027-05-03T10:30:00+02:00")
    answer, why = take(book, late, now="2027-05-03T11:00:00+02:00")[0]
    assert answer == "stored"
    assert "365 days ahead" in why
    with looking(book) as session:
        ((entry, _),) = field_days.entries(session, place, NOW.date())
        assert entry.seen_at == datetime(2026, 5, 3, 8, 30, tzinfo=UTC)
    assert take(book, record(place, at="2027-05-03T10:30:00+02:00"))[0][0] == "refused"


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"at": "2026-05-03T10:30:00"}, "at"),
        ({"seen": {"frames_of_bees": {"value": -1}}}, "it is less than 0"),
        ({"seen": {"frames_of_bees": {"value": float("nan")}}}, "it is no number"),
        ({"tag": ""}, "tag"),
        ({"id": "6f1c2f44-3d2a-4c1e-9e1a-111111111111"}, "version 7"),
        ({"colour": "blue"}, "colour"),
    ],
)
def test_what_cannot_be_read_is_refused_alone_with_its_field(place, wrong, says) -> None:
    good, bad = sent(record(place), record(place, **wrong))
    assert not isinstance(good, Unread)
    assert isinstance(bad, Unread)
    assert says in bad.why


@pytest.mark.parametrize(
    "wrong",
    [{"seen": {"frames_of_bees": {"value": 3.0, "unit": "kg"}}}, {"seen": {"height": {"value": 3.0}}}],
)
def test_a_wrong_unit_or_kind_is_refused_and_leaves_nothing(book: Engine, place, wrong) -> None:
    one = record(place, **wrong)
    assert take(book, one)[0][0] == "refused"
    assert frames(book, place) == []
    assert take(book, record(place) | {"id": one["id"]})[0][0] == "stored", "its key is free again"


def test_readings_stand_on_one_visit_of_the_day(book: Engine, place) -> None:
    before = datetime(2026, 5, 3, tzinfo=UTC).date()
    take(book, record(place), record(place, tag="A2"))
    with looking(book) as session:
        days = [
            visit for visit in readings.visits(session, place, before) if visit.note == yard_rows.FROM_PHONE
        ]
        assert len(days) == 1
        assert len(readings.of_visit(session, days[0].id)) == 2
        assert session.scalar(select(Reading.definition).where(Reading.colony_id.is_not(None))) == "one_layer"


def test_hives_counted_one_by_one_are_the_yards_inspection(book: Engine, place) -> None:
    def seen(bees: float, bread: float, queen: str) -> dict:
        return {
            "frames_of_bees": {"value": bees, "unit": "frames", "definition": "one_layer"},
            "bread": {"value": bread, "unit": "frames"}, "queen_status": {"word": queen},
        }  # fmt: skip

    take(book, record(place, seen=seen(6.0, 1.0, "eggs")),
         record(place, "A2", seen=seen(8.0, 0.5, "neither")),
         record(place, "A3", seen={"put_on": {"value": 450.0, "unit": "g"}}))  # fmt: skip
    with looking(book) as session:
        known = yards.yard_as_known(session, place, NOW.date())
    last = known.inspections[-1]
    assert last.on == NOW.date()
    assert last.frames_each == (6.0, 8.0)
    assert last.bread == pytest.approx(0.75)
    assert (known.health.queens_laying, known.health.queens_looked_for) == (1, 2)
    assert known.given[-1].grams == pytest.approx(150.0), "of three hives that were seen"


def test_frames_of_two_kinds_have_no_mean(book: Engine, place) -> None:
    other = {"frames_of_bees": {"value": 6.0, "unit": "frames", "definition": "colony_mean"}}
    take(book, record(place), record(place, "A2", seen=other))
    with looking(book) as session:
        known = yards.yard_as_known(session, place, NOW.date())
    assert all(not one.frames_each for one in known.inspections if one.on == NOW.date())


def test_a_file_read_in_days_later_keeps_its_days(place) -> None:
    told = {"shape": "breadline.field/1", "phone": "one", "now": "2026-05-01T18:00:00+02:00",
            "records": [record(place, at="2026-05-01T16:00:00+02:00")]}  # fmt: skip
    body = json.dumps(told).encode()
    (sent_live,), (saved,) = (batch_of(body, NOW, saved).records for saved in (False, True))
    assert not isinstance(saved, Unread)
    assert not isinstance(sent_live, Unread)
    assert saved.on.isoformat() == "2026-05-01", "the way of the file is no clock that is behind"
    assert sent_live.on.isoformat() == "2026-05-03"


def test_a_page_left_open_for_a_week_mends_nothing_of_the_earlier_visit(book: Engine, place) -> None:
    first = record(place, at="2026-04-26T10:30:00+02:00")
    later = record(place, mends=first["id"], seen={"frames_of_bees": {"value": 5.0, "unit": "frames"}})
    assert [one[0] for one in take(book, first, later)] == ["stored", "stored"]
    assert sorted(frames(book, place)) == [("A1", 5.0), ("A1", 7.5)]
    other_work = record(place, work="grading", mends=later["id"])
    assert take(book, other_work)[0][0] == "stored"
    assert len(frames(book, place)) == 3


def test_what_a_person_gave_to_a_hive_is_mended_for_that_hive(book: Engine, place) -> None:
    with writing(book) as session:
        one, two, _ = colonies.in_rows(session, place)
        colonies.ended(session, one.id, "merged", NOW.date() - timedelta(days=9), two.id)
    first = record(place)
    assert take(book, first)[0][0] == "conflict"
    with writing(book) as session:
        decide(session, questions(session)[0].entry.id, True, two.id, "it is A2")
    mend = record(place, mends=first["id"], seen={"frames_of_bees": {"value": 3.0, "unit": "frames"}})
    assert take(book, mend)[0][0] == "stored"
    assert frames(book, place) == [("A2", 3.0)], "and never without a hive"
