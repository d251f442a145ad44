"""Questions that entries put before a person: what waits, and what it is held against."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.append_only import current
from breadline.records.field_again import as_sent, beside_feed, entered_anew
from breadline.records.field_batch import Batch
from breadline.records.field_before import said_by_kind
from breadline.records.field_hive import FED_ON_AVERAGE, stored_entry, twice
from breadline.records.field_line import answer_of, asks_itself, holds
from breadline.records.field_stands import shown_beside, told_there, words_key
from breadline.records.field_tables import FieldAnswer, FieldEntry
from breadline.records.whys import told_by


@dataclass(frozen=True)
class Open:
    """A question for a person: an entry, why it was not just stored, and what it is held against."""

    entry: FieldEntry
    why: str
    against: FieldEntry | None
    asked_by: dict[str, Any] | None = None  # the message of ``why``, with its fields
    feed_alone: bool = False  # see ``feed_alone``
    own: bool = False  # whether its day or a number of it is asked, and not what stands beside it

    @property
    def key(self) -> str:
        """Of the question as it is asked now: another one where it is held against something else."""
        return words_key(f"{self.why} {None if self.against is None else self.against.id}")


def questions(session: Session) -> list[Open]:
    """What waits for a person, oldest first, each beside what stands in its way now."""
    batch = Batch(session)
    rows = session.scalars(current(FieldAnswer).where(FieldAnswer.answer == "conflict"))
    return [opened(batch, session.get_one(FieldEntry, row.entry_id), row) for row in rows]


def opened(batch: Batch, entry: FieldEntry, row: FieldAnswer) -> Open:
    """An entry that waits as a person is shown it."""
    session = batch.session
    against = None if row.against_id is None else session.get_one(FieldEntry, row.against_id)
    asked = Open(entry, row.why, against, row.asked_by, feed_alone(entry, row), asks_itself(entry, row))
    if against is None or holds(session, against):
        return asked
    return replace(asked, against=None) if asked.own else _asked_now(batch, asked)


def _asked_now(batch: Batch, asked: Open) -> Open:
    """A question whose other entry was decided against meanwhile, beside what holds in its place."""
    entry = asked.entry
    if entry.colony_id is None:
        return replace(asked, against=None)
    sent = entered_anew(entry, entry.on)
    told = batch.against(entry, entry.colony_id, said_by_kind(sent.seen), sent.standing)
    there = [one for one in told if stored_entry(one) is not None]
    if not there:
        return replace(asked, against=None)
    why = twice(there[0], sent)
    return replace(
        asked, why=str(why), against=batch.session.get_one(FieldEntry, there[0].id), asked_by=told_by(why)
    )


def asked_otherwise(session: Session, entry_id: UUID, key: str) -> bool:
    """Whether a question is another one by now than that of a key."""
    return opened(Batch(session), *question_of(session, entry_id)).key != key


def waiting(session: Session) -> int:
    """How many entries wait for a person."""
    rows = current(FieldAnswer).order_by(None).where(FieldAnswer.answer == "conflict").subquery()
    return session.scalar(select(func.count()).select_from(rows)) or 0


def still_asked(session: Session, entry_ids: Sequence[UUID]) -> int:
    """How many of these entries wait for a person."""
    answers = [answer_of(session, key) for key in dict.fromkeys(entry_ids)]
    return sum(row is not None and row.answer == "conflict" for row in answers)


def shown_now(session: Session, entry_id: UUID) -> frozenset[str]:
    """The keys of what stands beside a question now, at the hive that its entry came for.

    Errors
    ------
    RecordError
        If there is no such question.
    """
    entry, row = question_of(session, entry_id)
    if entry.colony_id is None or entry.withdraws is not None:
        return frozenset()
    batch = Batch(session)
    asked = opened(batch, entry, row)
    there = told_there(batch, as_sent(entry), entry.colony_id, ())
    return shown_beside(there, asked.why, asked.against) | {words_key(asked.why)}


def question_of(session: Session, entry_id: UUID) -> tuple[FieldEntry, FieldAnswer]:
    """An entry that waits for a person, and how it is asked."""
    entry = session.get(FieldEntry, entry_id)
    row = None if entry is None else answer_of(session, entry.id)
    if entry is None or row is None or row.answer != "conflict":
        raise RecordError("question", say("it was answered before, or is not known"), say("one that waits"))
    return entry, row


def feed_alone(entry: FieldEntry, row: FieldAnswer) -> bool:
    """Whether a sheet's average feed alone stands in an entry's way, and it holds more than that."""
    asked = (row.asked_by or {}).get("say") == FED_ON_AVERAGE
    more = bool(beside_feed(entry) or entry.told.get("standing"))
    return asked and more and entry.colony_id is not None and entry.withdraws is None
