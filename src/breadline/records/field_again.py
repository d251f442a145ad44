"""An entry of the book as the record that it came as, or anew for another day."""

from __future__ import annotations

import hashlib
import json
from datetime import date, datetime, timedelta, timezone
from typing import Any
from uuid import UUID

from breadline.records.field_before import seen_of
from breadline.records.field_line import MOVED
from breadline.records.field_sent import Sent
from breadline.records.field_tables import FieldEntry
from breadline.records.ids import new_id
from breadline.records.readings import Seen


def as_sent(entry: FieldEntry) -> Sent:
    """An entry as the record that it came as."""
    at = entry.seen_at.astimezone(timezone(timedelta(minutes=entry.offset_minutes)))
    return _sent_again(entry, entry.id, at, entry.told)


def entered_anew(entry: FieldEntry, on: date) -> Sent:
    """An entry as a new record of a day, which says which one it was moved from."""
    at = entry.seen_at.astimezone(timezone(timedelta(minutes=entry.offset_minutes)))
    at = at.replace(year=on.year, month=on.month, day=on.day)
    key = new_id()
    told = {name: one for name, one in entry.told.items() if name != "clock"}
    told |= {"id": str(key), "at": at.isoformat(), MOVED: str(entry.id)}
    return _sent_again(entry, key, at, told)


def _sent_again(entry: FieldEntry, key: UUID, at: datetime, told: dict[str, Any]) -> Sent:
    """An entry as a record that is to be written down, its clock set right."""
    digest = hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()
    return Sent(
        id=key, phone=entry.phone, work=entry.work, yard_id=entry.yard_id, tag=entry.tag, seen_at=at,
        told=told, digest=digest, by=entry.by, seen=seen_of(told), standing=told.get("standing"),
        mends=entry.mends, new=bool(told.get("new")),
    )  # fmt: skip


def beside_feed(entry: FieldEntry) -> tuple[Seen, ...]:
    """What an entry says of its hive but what was put on."""
    return tuple(one for one in seen_of(entry.told) if one.kind != "put_on")
