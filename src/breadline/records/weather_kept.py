"""Weather files kept as they came, byte for byte, so that an answer can be made again."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import PureWindowsPath
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.storable import storable
from breadline.records.tables import Weather, YardRow


@dataclass(frozen=True)
class Came:
    """A weather file on its way into the book, with what its reader said of it."""

    name: str
    content: bytes
    source: str = ""
    licence: str = ""
    latitude: float | None = None  # north of the equator, negative south of it [°]
    longitude: float | None = None  # east of Greenwich [°]
    utc_offset_hours: float | None = None  # of the local standard time used [h]
    notes: tuple[str, ...] = ()  # what was dropped, filled or assumed


def keep(session: Session, file: Came, yard_id: UUID | None = None) -> Weather:
    """Keep a file for a yard, or for all yards; the file in use, given again, is not kept twice.

    An older file given again becomes the one in use: it is written down anew.

    Errors
    ------
    RecordError
        If the file is empty, its name leads to another folder, a value cannot be
        kept, or there is no such yard.
    """
    storable(file, file.name)
    _plain_name(file.name)
    if not file.content:
        raise RecordError(file.name, say("the file is empty"), say("a weather file"))
    if yard_id is not None and session.get(YardRow, yard_id) is None:
        raise RecordError(
            "yard", say("there is no yard {yard_id}", yard_id=yard_id), say("a yard of this book")
        )
    digest = hashlib.sha256(file.content).hexdigest()
    known = _last(session, yard_id)
    if known is not None and (known.sha256, known.name) == (digest, file.name):
        return known
    row = Weather(
        yard_id=yard_id, name=file.name, sha256=digest, content=file.content, source=file.source,
        licence=file.licence, latitude=file.latitude, longitude=file.longitude,
        utc_offset_hours=file.utc_offset_hours, notes=list(file.notes),
    )  # fmt: skip
    session.add(row)
    session.flush()
    return row


def newest(session: Session, yard_id: UUID) -> Weather | None:
    """The file kept last for a yard, else the one kept last for all yards, else None.

    Errors
    ------
    RecordError
        If its name leads to another folder: a book may have come from somebody else.
    """
    row = _last(session, yard_id) or _last(session, None)
    if row is not None:
        _plain_name(row.name)
    return row


def names(session: Session) -> dict[UUID | None, str]:
    """The name of the file kept last for each yard that has one of its own, and under None for all yards."""
    rows = session.execute(select(Weather.yard_id, Weather.name).order_by(Weather.id))
    return {row[0]: row[1] for row in rows}


def of_yard(session: Session, yard_id: UUID) -> bool:
    """Whether a file was kept for this yard by itself."""
    return session.scalar(select(Weather.id).where(Weather.yard_id == yard_id).limit(1)) is not None


def digests(session: Session) -> tuple[str, ...]:
    """Of every file that was ever kept, in that order: changes when any yard gets another one."""
    return tuple(session.scalars(select(Weather.sha256).order_by(Weather.id)))


def newest_digests(session: Session) -> dict[UUID | None, str]:
    """That of the file kept last for each yard that has one of its own, and under None for all yards."""
    rows = session.execute(select(Weather.yard_id, Weather.sha256).order_by(Weather.id))
    return {row[0]: row[1] for row in rows}


def content(row: Weather) -> bytes:
    """The bytes of a kept file.

    Errors
    ------
    RecordError
        If they are no longer those that were kept.
    """
    if hashlib.sha256(row.content).hexdigest() != row.sha256:
        raise RecordError(
            row.name, say("the kept file is damaged"), say("the bytes that came"), say("Add the file again")
        )
    return row.content


def _last(session: Session, owner: UUID | None) -> Weather | None:
    of_owner = select(Weather).where(Weather.yard_id.is_not_distinct_from(owner))
    return session.scalar(of_owner.order_by(Weather.id.desc()).limit(1))


def _plain_name(name: str) -> None:
    # Whoever writes the file out again must stay in the folder meant for it.
    if name in ("", ".", "..") or PureWindowsPath(name).name != name:  # knows both slashes, and drives
        raise RecordError(
            "weather",
            say("the file's name is {name!r}", name=name),
            say("a name without a folder"),
            say("Rename it and add it again"),
        )
