"""What an entry is to take the place of: the line of entries of one phone, hive and visit behind it.

A mend that is asked about itself closes the question of what it mends, which it has overtaken, and leaves
what is written down until a person has answered. Whoever takes its place, or takes it back, means all
of the line: the phone shows the newest entry alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.records.append_only import current
from breadline.records.field_before import seen_of
from breadline.records.field_sent import Sent
from breadline.records.field_tables import FieldAnswer, FieldEntry
from breadline.records.plausible import doubted

MOVED = "moved"  # under which an entry made for another day names the one that came
CLOCK = "the clock of the phone "  # as which a question of a day begins


@dataclass(frozen=True)
class Older:
    """An entry behind another one, and how it is answered.

    ``overtaken`` is one whose question a later entry closed that was asked about itself, or that agreed.
    """

    entry: FieldEntry
    answer: str
    overtaken: bool = False

    @property
    def here(self) -> bool:
        """Whether it is written down or waits for a person."""
        return self.answer in ("stored", "conflict")


def answer_of(session: Session, entry_id: UUID) -> FieldAnswer | None:
    """How an entry is answered now."""
    return session.scalar(current(FieldAnswer).where(FieldAnswer.entry_id == entry_id))


def holds(session: Session, entry: FieldEntry) -> bool:
    """Whether an entry is written down as it came."""
    answer = answer_of(session, entry.id)
    return answer is not None and answer.answer == "stored"


def as_moved(session: Session, entry: FieldEntry) -> FieldEntry:
    """What a person made of an entry for another day; the entry itself where nobody did.

    The phone that sent it does not know of the other one, and means that when it names its own.
    """
    row = answer_of(session, entry.id)
    if row is None or row.answer != "set aside":
        return entry
    alike = select(FieldEntry).where(FieldEntry.yard_id == entry.yard_id, FieldEntry.tag == entry.tag)
    rows = session.scalars(alike.where(FieldEntry.phone == entry.phone, FieldEntry.work == entry.work))
    new = next((one for one in rows if one.told.get(MOVED) == str(entry.id)), None)
    return entry if new is None else as_moved(session, new)


def asks_day(row: FieldAnswer) -> bool:
    """Whether an entry is, or was when it was set aside, asked about for its day."""
    return row.answer in ("conflict", "set aside") and row.why.startswith(CLOCK)


def asks_itself(entry: FieldEntry, row: FieldAnswer) -> bool:
    """Whether what is asked is of the entry alone, its day or a number, and not of what stands beside it."""
    doubt = str(doubted(seen_of(entry.told)))
    return entry.withdraws is None and (asks_day(row) or (bool(doubt) and row.why == doubt))


def line(session: Session, one: Sent | FieldEntry, of_phone: bool = False) -> list[Older]:
    """What an entry is to take the place of, newest first, as far back as none of it ever held.

    It ends with what is written down, with what something else took the place of, or was taken back.
    What is written down for another day is of another visit, and no part of it, unless the day of the
    entry is open, or ``of_phone``: then all is that the phone had on one day.
    """
    found: list[Older] = []
    at: Sent | FieldEntry = one
    day_open = of_phone or _day_is_open(session, one)
    while at.mends is not None and at.mends not in {each.entry.id for each in found}:
        old = session.get(FieldEntry, at.mends)
        row = None if old is None or old.id == one.id else answer_of(session, old.id)
        if old is None or row is None or not _alike(old, one):
            break
        old = as_moved(session, old)
        row = answer_of(session, old.id) or row
        if not _same_day(session, old, one, day_open or row.answer != "stored"):
            break
        overtaken = row.answer == "mended" and _was_overtaken(
            session, old, row, {one.id, *(each.entry.id for each in found)}
        )
        found.append(Older(old, row.answer, overtaken))
        if not overtaken and row.answer not in ("conflict", "set aside"):
            break
        at = old
    return found


def mended_by(session: Session, one: Sent) -> list[FieldEntry]:
    """The entries behind one, newest first, as they came: back to the first that is written down."""
    found: list[FieldEntry] = []
    key = one.mends
    while key is not None and key not in {each.id for each in found}:
        old = session.get(FieldEntry, key)
        row = None if old is None else answer_of(session, old.id)
        if old is None or row is None:
            break
        found.append(old)
        if row.answer not in ("conflict", "set aside") and not _was_overtaken(
            session, old, row, {one.id, *(each.id for each in found)}
        ):
            break
        key = old.mends
    return found


def _day_is_open(session: Session, one: Sent | FieldEntry) -> bool:
    if isinstance(one, Sent):
        return bool(one.day_doubt)
    row = answer_of(session, one.id)
    return row is not None and asks_day(row)


def _alike(old: FieldEntry, one: Sent | FieldEntry) -> bool:
    same = (old.phone, old.yard_id, old.work) == (one.phone, one.yard_id, one.work)
    return same and old.withdraws is None


def _same_day(session: Session, old: FieldEntry, one: Sent | FieldEntry, is_open: bool) -> bool:
    """Whether two are of one visit; where the day of one is open, by the day that their phone had."""
    return old.on == one.on or (is_open and _came_for(session, old) == _came_for(session, one))


def _came_for(session: Session, one: Sent | FieldEntry) -> date:
    """The day that an entry came for by the clock of its phone, as it first came."""
    moved = one.told.get(MOVED)
    first = None if moved is None else session.get(FieldEntry, UUID(moved))
    if first is not None:
        return _came_for(session, first)
    return datetime.fromisoformat(str(one.told["at"])).date() if "at" in one.told else one.on


def _was_overtaken(session: Session, old: FieldEntry, row: FieldAnswer, but: set[UUID]) -> bool:
    """Whether it waited when its mend came, and no entry but these that mends it is in the book now."""
    before = None if row.replaces is None else session.get(FieldAnswer, row.replaces)
    if before is None or before.answer != "conflict":
        return False
    here = current(FieldAnswer).join(FieldEntry, FieldEntry.id == FieldAnswer.entry_id)
    here = here.where(
        FieldEntry.yard_id == old.yard_id, FieldEntry.mends == old.id, FieldEntry.id.not_in(but)
    )
    return session.scalar(here.where(FieldAnswer.answer.in_(("stored", "conflict"))).limit(1)) is None
