"""A record of one hive as a phone or a sheet sent it, before anything of it is written."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from breadline.records.field_tables import FieldEntry
from breadline.records.readings import Seen


@dataclass(frozen=True)
class Sent:
    """One hive as a phone sent it.

    Parameters
    ----------
    id
        Made on the phone, a version 7 UUID.
    seen_at
        By the phone's clock, with its offset.
    ahead_s
        The phone's clock minus ours when it was sent. [s]
    standing
        ``dead`` where the hive was found so.
    mends
        Key of the entry that this one takes the place of.
    new
        Whether the person said that a tag nobody knows is a colony not listed yet.
    withdraws
        Key of the entry that this one takes back altogether; ``because`` says why.
    digest
        SHA-256 of ``told``, by which what is sent twice is known again.
    day_doubt
        Why a person has to say of which day it is; empty where that is known.
    """

    id: UUID
    phone: str
    work: str
    yard_id: UUID
    tag: str
    seen_at: datetime
    told: dict[str, Any] = field(hash=False)
    digest: str
    ahead_s: float = 0.0
    by: str = ""
    seen: tuple[Seen, ...] = ()
    standing: str | None = None
    mends: UUID | None = None
    new: bool = False
    withdraws: UUID | None = None
    because: str = ""
    day_doubt: str = ""

    @property
    def at(self) -> datetime:
        """When it was seen, with the phone's clock set right by ours."""
        return self.seen_at - timedelta(seconds=self.ahead_s)

    @property
    def on(self) -> date:
        """The day in the yard, by the clock of the place."""
        return self.at.date()


def entry_of(sent: Sent, colony_id: UUID | None) -> FieldEntry:
    """A record as a row of the book, of a colony where it is known."""
    offset = sent.seen_at.utcoffset() or timedelta()
    return FieldEntry(
        id=sent.id, phone=sent.phone, by=sent.by, work=sent.work, yard_id=sent.yard_id, colony_id=colony_id,
        tag=sent.tag, on=sent.on, seen_at=sent.at, offset_minutes=round(offset.total_seconds() / 60),
        clock_ahead_s=sent.ahead_s, told=sent.told, sha256=sent.digest, mends=sent.mends,
        withdraws=sent.withdraws,
    )  # fmt: skip
