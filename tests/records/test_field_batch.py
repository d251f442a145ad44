"""A batch is answered as if its records had come one by one; what two people say alike is one. Invented."""

from __future__ import annotations

import json
import random
from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
from sqlalchemy import Engine, event

from breadline.jobs.field_record import batch_of
from breadline.need.yard import Yard
from breadline.records import colonies, field, yards
from breadline.records.append_only import current
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_sent import Sent
from breadline.records.ids import new_id
from breadline.records.tables import Reading, Visit

NOW = datetime(2026, 5, 3, 9, 0, tzinfo=UTC)
TAGS = ("A1", "A2", "A3", "a3", "B1", "B2")


def yard_of_three(book: Engine, yard: Yard) -> UUID:
    """A yard with A1, A2 and A3, of which A2 was merged into A1 in April."""
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        one, two, _ = (colonies.place_colony(session, key, tag) for tag in TAGS[:3])
        colonies.ended(session, two, "merged", NOW.date() - timedelta(days=9), one)
    return key


def record(yard: UUID, tag: str = "A1", **more):
    told = {
        "id": str(new_id()), "work": "round", "yard": str(yard), "tag": tag,
        "at": "2026-05-03T08:30:00+00:00",
        "seen": {"frames_of_bees": {"value": 7.5, "unit": "frames", "definition": "one_layer"},
                 "put_on": {"value": 450.0, "unit": "g"}},
    }  # fmt: skip
    return told | more


def taken(book: Engine, *records, phone: str = "crew 1"):
    """The answers to a batch."""
    told = {"shape": "breadline.field/1", "phone": phone, "now": NOW.isoformat(), "records": list(records)}
    read = [one for one in batch_of(json.dumps(told).encode(), NOW).records if isinstance(one, Sent)]
    with writing(book) as session:
        return [(one.answer, one.why) for one in field.take_all(session, read, NOW)]


def held(book: Engine, yard: UUID) -> list[tuple]:
    """All that stands in the book of a yard's hives and readings, without keys."""
    with looking(book) as session:
        rows = colonies.in_rows(session, yard)
        tags = {one.id: one.tag for one in rows}
        wanted = current(Reading).join(Visit, Visit.id == Reading.visit_id).where(Visit.yard_id == yard)
        found = session.execute(wanted.add_columns(Visit.on)).all()
        said = [(tags.get(r.colony_id), str(on), r.kind, r.value, r.word, r.note) for r, on in found]
        asked = [(one.entry.tag, one.why) for one in questions(session) if one.entry.yard_id == yard]
        stand = [(one.tag, one.standing, str(one.since)) for one in rows]
    return [sorted(map(str, part)) for part in (said, asked, stand)]


def any_record(picks: random.Random, yard: UUID, before: list[dict]) -> dict:
    """A record as a day in the yard brings them: new, sent again, mended, dead, unknown, equal or other."""
    told = record(yard, picks.choice(TAGS), work=picks.choice(("round", "look")), new=picks.random() < 0.3)
    told["at"] = (NOW - timedelta(days=picks.randrange(2), minutes=picks.randrange(50))).isoformat()
    told["seen"]["frames_of_bees"]["value"] = picks.choice((7.5, 7.5, 8.0))
    kind = picks.random()
    if kind < 0.1 and before:
        return picks.choice(before)
    if kind < 0.35 and before:
        old = picks.choice(before)
        told |= {"mends": old["id"], "tag": old["tag"], "work": old["work"], "at": old["at"]}
    elif kind < 0.45:
        told |= {"standing": "dead", "seen": {}}
    elif kind < 0.5:
        told["seen"]["frames_of_bees"]["unit"] = "kg"
    return told


def test_a_batch_is_answered_as_its_records_one_by_one(book: Engine, yard: Yard) -> None:
    at_once, singly = yard_of_three(book, yard), yard_of_three(book, yard)
    picks, told = random.Random(5), []
    for _ in range(70):
        told.append(any_record(picks, at_once, told))
    answers = taken(book, *told)
    own: dict[str, str] = {}
    other = []
    for one in told:
        key = own.setdefault(one["id"], str(new_id()))
        more = {"mends": own.get(one["mends"], one["mends"])} if "mends" in one else {}
        other += taken(book, one | {"id": key, "yard": str(singly)} | more)
    assert answers == other
    assert {one for one, _ in answers} == {"stored", "duplicate", "conflict", "refused"}
    assert held(book, at_once) == held(book, singly)


def test_a_hive_that_two_entered_alike_counts_once_and_was_fed_once(book: Engine, yard: Yard) -> None:
    key = yard_of_three(book, yard)
    three = record(key, "A3", seen={"frames_of_bees": {"value": 4.5, "unit": "frames",
                                                       "definition": "one_layer"}})  # fmt: skip
    first = record(key)
    taken(book, first, three)
    assert taken(book, record(key), phone="crew 2") == [("stored", "")]
    with looking(book) as session:
        known = yards.yard_as_known(session, key, NOW.date())
    assert known.inspections[-1].frames_each == (7.5, 4.5)
    assert known.given[-1].grams == pytest.approx(225.0), "one portion of 450 g, of two hives that were seen"
    assert taken(book, record(key, mends=first["id"], seen={}))[0][0] == "stored"
    assert "7.5" in str(held(book, key)[0]), "the second person still says so"


def test_a_batch_of_many_takes_few_questions_to_the_book(book: Engine, yard: Yard) -> None:
    key = yard_of_three(book, yard)
    asked: list[str] = []
    event.listen(book, "before_cursor_execute", lambda *a: asked.append(a[2]))
    taken(book, *(record(key, f"N{n}", new=True) for n in range(10)))
    few = len(asked)
    taken(book, *(record(key, f"M{n}", new=True) for n in range(200)))
    assert len(asked) - few <= few, "no more for two hundred than for ten"
