"""What came from phones and sheets of a yard, by the day that it is of."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from breadline.records.append_only import current
from breadline.records.field_line import MOVED, asks_itself
from breadline.records.field_tables import FieldAnswer, FieldEntry, FieldReading
from breadline.records.tables import Reading


def entries(session: Session, yard_id: UUID, on: date) -> list[tuple[FieldEntry, str]]:
    """What came of one day in a yard, oldest first, each with how it was answered."""
    told = entries_answered(session, yard_id, on)
    return [(row, "" if now is None else now.answer) for row, now in told]


def entries_answered(
    session: Session, yard_id: UUID, on: date
) -> list[tuple[FieldEntry, FieldAnswer | None]]:
    """What came of one day in a yard, oldest first, each with its answer as it holds now."""
    wanted = select(FieldEntry).where(FieldEntry.yard_id == yard_id, FieldEntry.on == on)
    rows = session.scalars(wanted.order_by(FieldEntry.made_at, FieldEntry.id))
    answers = current(FieldAnswer).join(FieldEntry, FieldEntry.id == FieldAnswer.entry_id)
    held = answers.where(FieldEntry.yard_id == yard_id, FieldEntry.on == on)
    now = {one.entry_id: one for one in session.scalars(held)}
    return [(row, now.get(row.id)) for row in rows]


def entry_days(session: Session, yard_id: UUID) -> list[tuple[date, int]]:
    """The days on which something came of a yard, newest first, with how many entries."""
    counted = select(FieldEntry.on, func.count()).where(FieldEntry.yard_id == yard_id)
    counted = counted.where(FieldEntry.withdraws.is_(None)).group_by(FieldEntry.on)
    return [(on, count) for on, count in session.execute(counted.order_by(FieldEntry.on.desc()))]


def kinds_held(session: Session, yard_id: UUID, on: date) -> dict[UUID, set[str]]:
    """What of the entries of a day is written down now: the kinds of their readings that hold, by entry."""
    led_to = current(Reading).order_by(None).join(FieldReading, FieldReading.reading_id == Reading.id)
    led_to = led_to.join(FieldEntry, FieldEntry.id == FieldReading.entry_id)
    wanted = led_to.where(FieldEntry.yard_id == yard_id, FieldEntry.on == on)
    found: dict[UUID, set[str]] = {}
    for key, kind in session.execute(wanted.with_only_columns(FieldEntry.id, Reading.kind)):
        found.setdefault(key, set()).add(kind)
    return found


def hives_given(session: Session, yard_id: UUID, on: date) -> dict[UUID, UUID]:
    """The hives that a person gave entries of a day to, other than those that they came for, by entry."""
    led_to = current(Reading).order_by(None).join(FieldReading, FieldReading.reading_id == Reading.id)
    led_to = led_to.join(FieldEntry, FieldEntry.id == FieldReading.entry_id)
    wanted = led_to.where(FieldEntry.yard_id == yard_id, FieldEntry.on == on)
    columns = (FieldEntry.id, FieldEntry.colony_id, Reading.colony_id)
    rows = session.execute(wanted.with_only_columns(*columns))
    found = {key: hive for key, came_for, hive in rows if hive is not None and hive != came_for}
    alone = select(FieldEntry).where(FieldEntry.yard_id == yard_id, FieldEntry.on == on)
    moved = {one.id: one.colony_id for one in session.scalars(alone) if MOVED in one.told and one.colony_id}
    return moved | found


def to_be_mended(session: Session, entry_ids: Sequence[UUID]) -> dict[UUID, UUID]:
    """Of these entries those that count until their mend is answered for, each with that mend."""
    rows = current(FieldAnswer).where(FieldAnswer.answer == "conflict", FieldAnswer.against_id.in_(entry_ids))
    asked = [(row, session.get_one(FieldEntry, row.entry_id)) for row in session.scalars(rows)]
    return {row.against_id: entry.id for row, entry in asked if row.against_id and asks_itself(entry, row)}
