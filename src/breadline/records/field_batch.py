"""What entries of phones ask of the book, once for a batch, and what they add to it, written together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, cast
from uuid import UUID

from sqlalchemy import Table, select
from sqlalchemy.orm import Session

from breadline.records import colonies, readings, yard_rows
from breadline.records.append_only import Base, current
from breadline.records.bulk import add_rows
from breadline.records.colonies import InRow
from breadline.records.field_before import READ, Before, Day, Said, Words, day_of, fed_otherwise, said_by_kind
from breadline.records.field_given_way import Gone, taken_back_before
from breadline.records.field_sent import Sent
from breadline.records.field_tables import ColonyFact, FieldAnswer, FieldEntry, FieldReading
from breadline.records.field_trials import Running
from breadline.records.ids import new_id
from breadline.records.readings import Seen
from breadline.records.tables import Colony, Reading, Visit
from breadline.records.times import now
from breadline.records.whys import told_by

WORKS = ("round", "look", "grading")
IN_ONE = 500  # keys of one question to the database
COLUMNS: dict[type[Base], tuple[str, ...]] = {  # each after those that it names
    Colony: ("id", "yard_id", "name"),
    ColonyFact: ("id", "colony_id", "tag", "place", "standing"),
    FieldEntry: ("id", "phone", "by", "work", "yard_id", "colony_id", "tag", "on", "seen_at",
                 "offset_minutes", "clock_ahead_s", "told", "sha256", "mends", "withdraws"),
    FieldAnswer: ("id", "entry_id", "answer", "why", "against_id", "because", "asked_by"),
    Reading: ("id", "visit_id", "colony_id", "kind", *READ),
    FieldReading: ("id", "entry_id", "reading_id"),
}  # fmt: skip
SAME: dict[type[Base], dict[str, Any]] = {
    ColonyFact: {"withdrawn": False, "because": ""},
    FieldAnswer: {"withdrawn": False},
    Reading: {"withdrawn": False, "because": ""},
}


class Batch:
    """The book as it stands while entries come in; whoever makes one holds the pen.

    Nothing that comes in is written before ``write``, so an entry that is refused leaves nothing behind,
    and a thousand entries take some dozens of statements and not some ten thousand.
    """

    def __init__(self, session: Session, keys: Sequence[UUID] = ()) -> None:
        self.session = session
        self._names: dict[UUID, str] = {}
        self._rows: dict[type[Base], list[list[Any]]] = {kind: [] for kind in COLUMNS}
        self._known = dict(_answered(self.session, keys))
        self._taken_back = _taken_back(self.session, keys)
        self._hives: dict[UUID, dict[str, list[InRow]]] = {}
        self._days: dict[tuple[UUID, date], Day] = {}
        self._counted: dict[UUID, bool] = {}
        self._withdrawn: set[UUID] = set()
        self.running = Running(self.session)

    def known(self, key: UUID) -> tuple[str, str, str] | None:
        """Digest of the entry of this key, how it was answered and why; None where it never came."""
        return self._known.get(key)

    def taken_back(self, key: UUID) -> str | None:
        """Why the entry of this key was taken back before it came; None where it was not."""
        return self._taken_back.get(key)

    def yard(self, yard_id: UUID) -> str:
        """Name of a yard.

        Errors
        ------
        RecordError
            If there is no such yard on the list.
        """
        from breadline.records.yards import fact  # yards reads averages of what is stored here

        if yard_id not in self._names:
            self._names[yard_id] = fact(self.session, yard_id).name
        return self._names[yard_id]

    def hives(self, yard_id: UUID, tag: str) -> list[InRow]:
        """The hives of a yard that wear or wore this tag, in walking order."""
        return self._of_yard(yard_id).setdefault(tag.casefold(), [])

    def no_longer(self, yard_id: UUID, colony_id: UUID, on: date) -> InRow | None:
        """A hive as it stands in the row where it did not stand there any more on a day."""
        rows = [one for worn in self._of_yard(yard_id).values() for one in worn if one.id == colony_id]
        return next((one for one in rows if not one.stood(on)), None)

    def ended_alive(self, yard_id: UUID, colony_id: UUID) -> InRow | None:
        """A hive as it stands in the row where it was merged, sold or moved."""
        rows = [one for worn in self._of_yard(yard_id).values() for one in worn if one.id == colony_id]
        return next((one for one in rows if one.standing not in ("stands", "dead")), None)

    def new_hive(self, yard_id: UUID, tag: str) -> UUID:
        """A hive that is not listed yet; its key."""
        key = new_id()
        self._rows[Colony].append([key, yard_id, tag])
        self._rows[ColonyFact].append([new_id(), key, tag, "", "stands"])
        self.hives(yard_id, tag).append(InRow(key, tag, "", None, "stands", None, None))
        return key

    def against(
        self, entry: Sent | FieldEntry, colony_id: UUID, said: Words, standing: str | None
    ) -> list[Before]:
        """What was written down of a hive and its day and does not go with an entry, oldest first.

        An entry of the same work that says otherwise, one of any work that found it dead where this one
        saw it live, or the other way round, and a row of a sheet that was brought in, of the hive or of
        what its yard was fed on average.
        """
        day = self._day(entry.yard_id, entry.on)
        same = [one for one in day.entries.get((colony_id, entry.work), []) if one.differs(said, standing)]
        others = [
            one for work in WORKS if work != entry.work for one in day.entries.get((colony_id, work), [])
        ]
        sheets = day.sheets.get(colony_id, [])
        same += [one for one in others + sheets if one.lives_and_is_dead(said, standing)]
        same += [one for one in sheets if one not in same and one.otherwise(said)]
        return same + [one for one in day.averages if fed_otherwise(one, said)]

    def enter(
        self, entry: FieldEntry, answer: str, why: str, against_id: UUID | None = None, because: str = ""
    ) -> None:
        """Keep an entry as it came, and how it was answered."""
        self._rows[FieldEntry].append([getattr(entry, name) for name in COLUMNS[FieldEntry]])
        self._rows[FieldAnswer].append(
            [new_id(), entry.id, answer, str(why), against_id, because, told_by(why)]
        )
        self._known[entry.id] = (entry.sha256, answer, why)

    def store(
        self, entry: FieldEntry, seen: Sequence[Seen], standing: str | None, colony_id: UUID | None
    ) -> None:
        """The readings of an entry on the visit of its day, linked to it, and what became of the hive.

        What another entry of the same hive, day and work said word for word is no second reading: it is
        linked to the first one, so that a hive that two people entered counts once and was fed once.
        """
        day = self._day(entry.yard_id, entry.on)
        visit_id = self._visit(entry.yard_id, entry.on, day)
        for one in map(readings.fitting, seen):
            said: Said = (one.kind, *(getattr(one, name) for name in READ))
            key = day.held.get((colony_id, entry.work, said))
            if key is None or key in self._withdrawn:
                key = day.held[colony_id, entry.work, said] = new_id()
                self._rows[Reading].append([key, visit_id, colony_id, *said])
            self._rows[FieldReading].append([new_id(), entry.id, key])
            self._counted[entry.yard_id] = self._counted.get(entry.yard_id, False) or one.kind == "bread"
        said_of = said_by_kind(seen)
        told = Before(entry.id, entry.phone, entry.seen_at, entry.offset_minutes, said_of, standing)
        day.entries.setdefault((colony_id, entry.work), []).append(told)
        if standing == "dead" and colony_id is not None:
            self._died(entry, colony_id)

    def withdrew(self, entry: FieldEntry, word: str, gone: Gone, old: FieldEntry | None) -> None:
        """A record was written down that takes another one back, and what went with that one."""
        self._known[entry.id] = (entry.sha256, word, gone.said)
        if old is None and entry.withdraws is not None:
            self._taken_back[entry.withdraws] = str(entry.told.get("because", ""))
        elif old is not None and not gone.said:
            self.went(old, gone)

    def went(self, old: FieldEntry, gone: Gone) -> None:
        """An entry was taken back, and what went with it."""
        self.gone(old, gone.readings, "withdrawn")
        if gone.visit and (day := self._days.get((old.yard_id, old.on))) is not None:
            day.visit_id = None
        if gone.hive:
            self.write()
            self._hives.pop(old.yard_id, None)
        for one, its in gone.older:
            self.went(one, its)

    def gone(self, old: FieldEntry, withdrawn: Iterable[UUID], word: str = "mended") -> None:
        """An entry gave way, and readings were withdrawn with it."""
        self._withdrawn.update(withdrawn)
        day = self._days.get((old.yard_id, old.on))
        for rows in day.entries.values() if day is not None else ():
            rows[:] = [one for one in rows if one.id != old.id]
        if old.told.get("standing"):
            self.write()  # a new hive of this batch is among those that are asked for anew
            self._hives.pop(old.yard_id, None)
        if old.id in self._known:
            self._known[old.id] = (old.sha256, word, "")

    def written(self, key: UUID) -> None:
        """See to it that an entry, its mends and questions against it are in the book, if of this batch."""
        mends = COLUMNS[FieldEntry].index("mends")
        at_hand = [each for row in self._rows[FieldEntry] for each in (row[0], row[mends])]
        at_hand += [row[4] for row in self._rows[FieldAnswer]]
        if key in at_hand:
            self.write()

    def write(self) -> None:
        """Write down what came in up to here."""
        moment = now()
        for kind, rows in self._rows.items():
            same = {"made_at": moment} | SAME.get(kind, {})
            add_rows(self.session, cast(Table, kind.__table__), COLUMNS[kind], rows, **same)
            rows.clear()

    def _of_yard(self, yard_id: UUID) -> dict[str, list[InRow]]:
        if yard_id not in self._hives:
            found: dict[str, list[InRow]] = {}
            for one in colonies.in_rows(self.session, yard_id):
                found.setdefault(one.tag.casefold(), []).append(one)
            self._hives[yard_id] = found
        return self._hives[yard_id]

    def _day(self, yard_id: UUID, on: date) -> Day:
        if (yard_id, on) not in self._days:
            self._days[yard_id, on] = day_of(self.session, yard_id, on)
        return self._days[yard_id, on]

    def _visit(self, yard_id: UUID, on: date, day: Day) -> UUID:
        """The visit of phones to a yard on a day, begun with its first entry."""
        if day.visit_id is None:
            if not self._counted.get(yard_id):
                self._counted[yard_id] = _bread_counted(self.session, yard_id)
            start = yard_rows.INSPECTION if self._counted[yard_id] else None
            look = readings.Look(on, start=start, note=yard_rows.FROM_PHONE)
            day.visit_id = readings.add_visit(self.session, yard_id, look).id
        return day.visit_id

    def _died(self, entry: FieldEntry, colony_id: UUID) -> None:
        for rows in self._of_yard(entry.yard_id).values():
            for place, one in enumerate(rows):
                if one.id != colony_id:
                    continue
                if (one.standing, one.since) != ("dead", entry.on):
                    self.write()
                    colonies.ended(self.session, colony_id, "dead", entry.on, because=colonies.FOUND_DEAD)
                rows[place] = replace(one, standing="dead", since=entry.on)


def _answered(session: Session, keys: Sequence[UUID]) -> Iterable[tuple[UUID, tuple[str, str, str]]]:
    answers = current(FieldAnswer).order_by(None).subquery()
    wanted = select(FieldEntry.id, FieldEntry.sha256, answers.c.answer, answers.c.why).outerjoin(
        answers, answers.c.entry_id == FieldEntry.id
    )
    for start in range(0, len(keys), IN_ONE):
        for key, sha256, answer, why in session.execute(
            wanted.where(FieldEntry.id.in_(keys[start : start + IN_ONE]))
        ):
            yield key, (sha256, answer or "", why or "")


def _taken_back(session: Session, keys: Sequence[UUID]) -> dict[UUID, str]:
    found: dict[UUID, str] = {}
    for start in range(0, len(keys), IN_ONE):
        found |= taken_back_before(session, keys[start : start + IN_ONE])
    return found


def _bread_counted(session: Session, yard_id: UUID) -> bool:
    """Whether bread was ever counted in a yard, so that a season can begin there."""
    began = current(Reading).order_by(None).join(Visit, Visit.id == Reading.visit_id)
    wanted = began.where(Visit.yard_id == yard_id, Reading.kind == "bread").with_only_columns(Reading.id)
    return session.scalar(wanted.limit(1)) is not None
