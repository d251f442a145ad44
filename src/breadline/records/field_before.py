"""What was written down of the hives of a yard and day before a record came, and where two do not agree."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, cast
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.records import yard_rows
from breadline.records.append_only import current
from breadline.records.field_tables import FieldAnswer, FieldEntry, FieldReading
from breadline.records.readings import Seen
from breadline.records.tables import Reading, Visit

READ = ("value", "unit", "word", "out_of", "definition", "note")  # what a reading says, beside its kind
Said = tuple[Any, ...]  # a kind, and READ
Words = dict[str, tuple[float | None, str | None]]  # what was seen by kind: value and word
SHEET = "sheet"  # as which a row that was brought in stands beside the entries of phones
AVERAGE = "average"  # as which a row of a sheet that names no hive does: what its yard was fed on average
SAME_FEED = 0.5  # less than this between two portions is one, weighed in other units [g]
LIVING = ("frames_of_bees", "frames_of_brood", "put_on", "queen_status")  # what no dead hive has


@dataclass(frozen=True)
class Before:
    """An entry that was stored of a hive on a day, and what it said by kind: value and word.

    Of a row that was brought in from a sheet ``id`` is that of its visit, and ``phone`` is ``SHEET``.
    """

    id: UUID
    phone: str
    seen_at: datetime
    offset_minutes: int  # of the phone's zone east of UTC [min]
    said: Words
    standing: str | None

    def differs(self, said: Words, standing: str | None) -> bool:
        """Whether another entry says otherwise of the same thing, or of whether the hive lives."""
        return standing != self.standing or bool(self.otherwise(said))

    def otherwise(self, said: Words) -> list[str]:
        """The kinds of which both say something, and not the same."""
        return [kind for kind in self.said.keys() & said.keys() if self.said[kind] != said[kind]]

    def lives_and_is_dead(self, said: Words, standing: str | None) -> bool:
        """Whether one of two found the hive dead and the other saw it live."""
        if (standing == "dead") == (self.standing == "dead"):
            return False
        return _lives(self.said if standing == "dead" else said)


@dataclass
class Day:
    """A day in a yard: its entries by hive and work, the readings that they led to, the visit of phones."""

    entries: dict[tuple[UUID | None, str], list[Before]] = field(default_factory=dict)
    held: dict[tuple[UUID | None, str, Said], UUID] = field(default_factory=dict)
    sheets: dict[UUID, list[Before]] = field(default_factory=dict)  # by hive
    averages: list[Before] = field(default_factory=list)  # of feed, by rows that name no hive
    visit_id: UUID | None = None


def _lives(said: Words) -> bool:
    """Whether bees, brood, a queen or feed that was laid on was written down."""
    return any(
        (value or 0.0) > 0.0 or word in ("seen", "eggs")
        for value, word in (said[kind] for kind in LIVING if kind in said)
    )


def said_by_kind(seen: Iterable[Seen]) -> Words:
    """What was seen by kind: value and word."""
    return {one.kind: (one.value, one.word) for one in seen}


def seen_of(told: dict[str, Any]) -> tuple[Seen, ...]:
    """What a record says was seen: each kind with its value or word, and what was spoken as a note."""
    seen = tuple(
        Seen(kind, one.get("value"), one.get("unit", ""), one.get("word"), one.get("out_of"),
             one.get("definition"), note=one.get("note", ""))
        for kind, one in told.get("seen", {}).items()
    )  # fmt: skip
    spoken = told.get("spoken")
    return (*seen, Seen("note", note=spoken)) if spoken and "note" not in told.get("seen", {}) else seen


def day_of(session: Session, yard_id: UUID, on: date) -> Day:
    """What the book has of a day in a yard that came from phones and sheets."""
    day = Day()
    here = (FieldEntry.yard_id == yard_id, FieldEntry.on == on)
    answers = current(FieldAnswer).order_by(None).where(FieldAnswer.answer == "stored")
    stored = answers.join(FieldEntry, FieldEntry.id == FieldAnswer.entry_id).where(*here)
    led_to = (
        current(Reading).order_by(None).where(*here).join(FieldReading, FieldReading.reading_id == Reading.id)
        .join(FieldEntry, FieldEntry.id == FieldReading.entry_id)
    )  # fmt: skip
    given: dict[UUID, UUID | None] = {}
    columns = [getattr(Reading, name) for name in ("id", "colony_id", "kind", *READ)]
    for entry_id, work, key, colony_id, *said in session.execute(
        led_to.with_only_columns(FieldEntry.id, FieldEntry.work, *columns)
    ):
        given[entry_id] = colony_id
        day.held[colony_id, work, tuple(said)] = key
    rows = session.scalars(stored.with_only_columns(FieldEntry).order_by(FieldEntry.made_at, FieldEntry.id))
    for row in rows:
        one = Before(row.id, row.phone, row.seen_at, row.offset_minutes, said_by_kind(seen_of(row.told)),
                     row.told.get("standing") or None)  # fmt: skip
        day.entries.setdefault((given.get(row.id, row.colony_id), row.work), []).append(one)
    wanted = current(Visit).where(
        Visit.yard_id == yard_id, Visit.on == on, Visit.note == yard_rows.FROM_PHONE
    )
    there = session.scalar(wanted.limit(1))
    day.visit_id = None if there is None else there.id
    day.sheets = _sheets(session, yard_id, on)
    day.averages = _averages(session, yard_id, on)
    return day


def fed_otherwise(average: Before, said: Words) -> bool:
    """Whether a hive was given something, and not just what a sheet says of its yard's average."""
    put, of = said.get("put_on", (None, None))[0], average.said["put_on"][0]
    return bool(put) and put is not None and of is not None and abs(put - of) > SAME_FEED


def _averages(session: Session, yard_id: UUID, on: date) -> list[Before]:
    """What sheets say that the yard was fed on average on a day."""
    rows = current(Reading).order_by(None).join(Visit, Visit.id == Reading.visit_id)
    rows = rows.where(Visit.yard_id == yard_id, Visit.on == on, Visit.note.startswith(yard_rows.FROM_SHEET))
    rows = rows.where(Reading.colony_id.is_(None), Reading.kind == "feed_given").order_by(Reading.id)
    columns = (Reading.visit_id, Visit.made_at, Reading.value)
    return [
        Before(visit, AVERAGE, at, 0, {"put_on": (value, None)}, None)
        for visit, at, value in cast(Any, session.execute(rows.with_only_columns(*columns)))
    ]


def _sheets(session: Session, yard_id: UUID, on: date) -> dict[UUID, list[Before]]:
    """What was brought in of the hives of a yard on a day, each visit by itself."""
    rows = current(Reading).order_by(None).join(Visit, Visit.id == Reading.visit_id)
    rows = rows.where(Visit.yard_id == yard_id, Visit.on == on, Visit.note.startswith(yard_rows.FROM_SHEET))
    rows = rows.where(Reading.colony_id.is_not(None), Reading.kind != "note").order_by(Reading.id)
    columns = (Reading.colony_id, Reading.visit_id, Visit.made_at, Reading.kind, Reading.value, Reading.word)
    said: dict[tuple[UUID, UUID], Before] = {}
    for hive, visit, at, kind, value, word in cast(Any, session.execute(rows.with_only_columns(*columns))):
        one = said.setdefault((hive, visit), Before(visit, SHEET, at, 0, {}, None))
        one.said[kind] = (value, word)
    found: dict[UUID, list[Before]] = {}
    for (hive, _), one in said.items():
        found.setdefault(hive, []).append(one)
    return found
