"""The tables of what comes from a phone: colonies by place and tag, entries, and how each was answered."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import JSON, ForeignKey, Index, String, Uuid
from sqlalchemy.orm import Mapped, mapped_column

from breadline.records.append_only import Base, Fact, Kept
from breadline.records.times import UtcTime


class ColonyFact(Fact, Base):
    """Where a colony stands in the row, what its tag says, and what became of it."""

    __tablename__ = "colony_fact"
    colony_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("colony.id"), index=True)
    tag: Mapped[str]  # what its tag or its lid says
    place: Mapped[str]  # as people say it: pallet 5, left front
    walk: Mapped[int | None]  # in walking order of its yard
    standing: Mapped[str]  # stands, dead, merged, sold, moved
    since: Mapped[date | None]  # from when it is so, where it no longer stands
    into_id: Mapped[UUID | None] = mapped_column(Uuid, ForeignKey("colony.id"))  # merged into


class FieldEntry(Kept, Base):
    """What was entered of one hive on a phone, as it was sent; its key was made there.

    ``id`` is a version 7 UUID of the phone (RFC 9562), so that what is sent twice is
    known again. ``made_at`` is when it came here, by the clock of this machine; the
    phone's own clock stands in ``seen_at`` and is trusted only as far as
    ``clock_ahead_s`` says.
    """

    __tablename__ = "field_entry"
    phone: Mapped[str]
    by: Mapped[str]  # who entered it
    work: Mapped[str]  # round, grading, look
    yard_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("yard.id"))
    colony_id: Mapped[UUID | None] = mapped_column(Uuid, ForeignKey("colony.id"))  # None until a person says
    tag: Mapped[str]
    on: Mapped[date]  # the day in the yard, by the clock of the place
    seen_at: Mapped[datetime] = mapped_column(UtcTime)  # by the phone's clock, set right by ours
    offset_minutes: Mapped[int]  # of the phone's zone east of UTC [min]
    clock_ahead_s: Mapped[float]  # phone's clock minus ours when it was sent [s]
    told: Mapped[dict[str, Any]] = mapped_column(JSON)  # the record as it was sent
    sha256: Mapped[str] = mapped_column(String(64))  # of it
    mends: Mapped[UUID | None] = mapped_column(Uuid)  # key of the entry it takes the place of
    withdraws: Mapped[UUID | None] = mapped_column(Uuid, index=True)  # key of the entry it takes back
    __table_args__ = (Index("ix_field_entry_yard_on", "yard_id", "on"),)


class FieldAnswer(Fact, Base):
    """How an entry was answered: stored, a question for a person, or set aside by one."""

    __tablename__ = "field_answer"
    entry_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("field_entry.id"), index=True)
    answer: Mapped[str]  # stored, conflict, set aside, mended, withdrawn; withdrawal of what takes back
    why: Mapped[str]  # in English
    asked_by: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))  # its message and fields
    against_id: Mapped[UUID | None] = mapped_column(Uuid, ForeignKey("field_entry.id"), index=True)


class FieldReading(Kept, Base):
    """Which reading was written down from which entry."""

    __tablename__ = "field_reading"
    entry_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("field_entry.id"), index=True)
    reading_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("reading.id"), index=True)
