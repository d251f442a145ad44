"""What the book holds of one hive: what was seen of it, what it was given, and what became of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, cast
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records import colonies
from breadline.records.append_only import current, history
from breadline.records.colonies import InRow
from breadline.records.field_tables import ColonyFact
from breadline.records.tables import Colony, Reading, Visit

AT_ONCE = 400  # readings


@dataclass(frozen=True)
class ReadOn:
    """One reading of a hive with its day; ``came`` is what its visit says of itself."""

    on: date
    kind: str
    value: float | None  # [unit]
    unit: str
    word: str | None
    definition: str | None
    note: str
    came: str


@dataclass(frozen=True)
class HivePast:
    """A hive and what is known of it.

    Parameters
    ----------
    read
        Newest day first; ``more`` says that there are older ones.
    fed
        What was put on it: day and grams, newest first, however old.
    yard_fed
        What its yard got on average on days when no hive was written down singly, newest first.
    became
        What was said of it, oldest first: standing, since when, into which hive, why.
    took_in
        Hives that were merged into it.
    """

    yard_id: UUID
    hive: InRow
    read: tuple[ReadOn, ...]
    more: bool
    fed: tuple[tuple[date, float], ...]  # day and feed [g]
    yard_fed: tuple[tuple[date, float], ...]  # day and feed [g/colony]
    became: tuple[tuple[str, date | None, str | None, str], ...]
    took_in: tuple[InRow, ...]
    beside: tuple[InRow | None, InRow | None]  # the hives before and after it in walking order


def past(session: Session, colony_id: UUID, before: date | None = None) -> HivePast:
    """What is known of a hive; of readings the newest, or those before a day.

    Errors
    ------
    RecordError
        If there is no such hive.
    """
    colony = session.get(Colony, colony_id)
    if colony is None:
        raise RecordError(
            "hive",
            say("there is no hive {colony_id}", colony_id=colony_id),
            say("a hive of this book"),
            say("See its yard"),
        )
    row = colonies.in_rows(session, colony.yard_id)
    place = row.index(colonies.row_of(session, colony_id))
    read, more = _read(session, colony_id, before)
    return HivePast(
        colony.yard_id, row[place], read, more, _fed(session, colony_id), _yard_fed(session, colony.yard_id),
        _became(session, colony_id, {one.id: one.tag for one in row}),
        tuple(one for one in row if one.into == row[place].tag and one.id != colony_id),
        (row[place - 1] if place else None, row[place + 1] if place + 1 < len(row) else None),
    )  # fmt: skip


def _read(session: Session, colony_id: UUID, before: date | None) -> tuple[tuple[ReadOn, ...], bool]:
    """Whole days of readings, and whether there are older ones."""
    wanted = (
        current(Reading).join(Visit, Visit.id == Reading.visit_id).where(Reading.colony_id == colony_id)
        .order_by(None).order_by(Visit.on.desc(), Reading.id)
        .with_only_columns(
            Visit.on, Reading.kind, Reading.value, Reading.unit, Reading.word, Reading.definition,
            Reading.note, Visit.note.label("came"),
        )
    )  # fmt: skip
    if before is not None:
        wanted = wanted.where(Visit.on < before)
    rows = [ReadOn(*told) for told in cast(Any, session.execute(wanted.limit(AT_ONCE + 1)))]
    if len(rows) <= AT_ONCE:
        return tuple(rows), False
    whole = tuple(row for row in rows if row.on != rows[-1].on)
    return whole or tuple(rows), True


def _fed(session: Session, colony_id: UUID) -> tuple[tuple[date, float], ...]:
    wanted = current(Reading).join(Visit, Visit.id == Reading.visit_id).order_by(None)
    rows = session.execute(
        wanted.where(Reading.colony_id == colony_id, Reading.kind == "put_on", Reading.value > 0.0)
        .order_by(Visit.on.desc(), Reading.id).with_only_columns(Visit.on, Reading.value, Visit.id)
    )  # fmt: skip
    first: dict[tuple[date, float], UUID] = {}  # what a sheet and a phone tell alike was put on once
    return tuple((on, value) for on, value, by in cast(Any, rows) if first.setdefault((on, value), by) == by)


def _yard_fed(session: Session, yard_id: UUID) -> tuple[tuple[date, float], ...]:
    wanted = current(Reading).join(Visit, Visit.id == Reading.visit_id).order_by(None)
    rows = session.execute(
        wanted.where(Visit.yard_id == yard_id, Reading.kind == "feed_given", Reading.colony_id.is_(None))
        .where(Reading.on.is_not(None), Reading.value > 0.0)
        .order_by(Reading.on.desc()).with_only_columns(Reading.on, Reading.value)
    )  # fmt: skip
    return tuple((on, value) for on, value in cast(Any, rows))


def _became(
    session: Session, colony_id: UUID, tags: dict[UUID, str]
) -> tuple[tuple[str, date | None, str | None, str], ...]:
    """Each change of its standing; a new place in the row is none."""
    now = session.scalar(current(ColonyFact).where(ColonyFact.colony_id == colony_id))
    said: list[tuple[str, date | None, str | None, str]] = []
    for one in [] if now is None else history(session, now):
        into = tags.get(one.into_id) if one.into_id else None
        if (one.standing, one.since, into) != (said[-1][:3] if said else ("stands", None, None)):
            said.append((one.standing, one.since, into, one.because))
    return tuple(said)
