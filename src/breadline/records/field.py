"""Entries of phones: taken in once, answered one by one, and put before a person where two do not agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import noted, say
from breadline.records import readings
from breadline.records.field_batch import Batch
from breadline.records.field_given_way import (
    PAPER,
    ask_of,
    is_asked_of,
    take_back,
    taken_back,
)
from breadline.records.field_hive import place, where_moved
from breadline.records.field_line import line
from breadline.records.field_sent import Sent, entry_of
from breadline.records.field_tables import FieldAnswer
from breadline.records.field_trials import against as ends_against
from breadline.records.field_trials import keep as keep_end
from breadline.records.field_trials import told_of
from breadline.records.storable import storable
from breadline.records.whys import asking, told_by

Answer = Literal["stored", "duplicate", "conflict", "refused"]

TOO_OLD = timedelta(days=400)  # by then the phone's clock is likelier wrong than the record that late
NEVER_WAS = asking(noted("it was taken back before it came"))
AHEAD = timedelta(hours=36)  # of today: no day of any place on earth is further on


@dataclass(frozen=True)
class Answered:
    """How one record was answered, and why where there is something to say."""

    id: UUID
    answer: Answer
    why: str = ""


def take_in(session: Session, sent: Sent, now: datetime) -> Answered:
    """Write one record down, once, and answer it; see ``take_all``."""
    return take_all(session, (sent,), now)[0]


def take_all(session: Session, sent: Sequence[Sent], now: datetime) -> list[Answered]:
    """Write records down, each once, and answer each for itself.

    ``now`` is our clock, aware. What is wrong with a record is told before anything of it is written, so
    one that is refused leaves nothing behind and the others stand.

    Errors
    ------
    RecordError
        Never for what a phone sent: that is answered ``refused`` with the reason. Where the book cannot
        be written, nothing is answered, and the phone keeps what it has.
    """
    batch = Batch(session, [one.id for one in sent])
    answers = [_answered(batch, one, now) for one in sent]
    batch.write()
    return answers


def _answered(batch: Batch, sent: Sent, now: datetime) -> Answered:
    known = batch.known(sent.id)
    if known is not None:
        return _known(*known, sent)
    try:
        yard = _fit(batch, sent, now)
        if sent.withdraws is not None:
            return _withdrawn(batch, sent)
    except RecordError as refusal:
        if refusal.__cause__ is not None:
            raise  # the book cannot be written, which is no fault of the record
        return Answered(sent.id, "refused", str(refusal))
    sent = where_moved(batch, sent)
    gone = batch.taken_back(sent.id)
    if gone is not None:
        batch.enter(entry_of(sent, None), "withdrawn", NEVER_WAS, because=gone)
        _goes_too(batch, sent, gone)
        return Answered(sent.id, "stored", NEVER_WAS)
    found, why, against = in_the_way(batch, sent)
    entry = entry_of(sent, found)
    if why:
        batch.enter(entry, "conflict", why, against)
        _ask_along(batch, sent, False)
        return Answered(sent.id, "conflict", why)
    said = _said(sent, yard)
    batch.enter(entry, "stored", said)
    batch.store(entry, sent.seen, sent.standing, found)
    told = told_of(batch.running, entry)
    if told is not None:
        keep_end(batch.running, told, "entered on a visit")
    _ask_along(batch, sent, True)
    return Answered(sent.id, "stored", said)


def in_the_way(batch: Batch, sent: Sent, sure: bool = False) -> tuple[UUID | None, str, UUID | None]:
    """The colony that a record is of, and what stands in its way: why it is asked, against which entry.

    What it mends gives way where nothing does. ``sure`` as in ``place``.
    """
    found, why, against = place(batch, sent, sure)
    told = told_of(batch.running, entry_of(sent, found)) if not why else None
    if told is not None and (has := ends_against(batch.running, told)):
        why = asking(noted("{has}: which one holds?"), has=has)
    return found, why, against


def _ask_along(batch: Batch, sent: Sent, stored: bool) -> None:
    """Questions held against what a record took the place of are held against it from then on."""
    for one in line(batch.session, sent) if sent.mends is not None else ():
        gone = one.overtaken or (stored and one.answer == "mended")
        if gone and is_asked_of(batch.session, one.entry.id):
            batch.write()
            ask_of(batch.session, one.entry.id, sent.id)


def _withdrawn(batch: Batch, sent: Sent) -> Answered:
    """Take back what it names; the record of it stays, with its reason."""
    batch.write()
    session, entry = batch.session, entry_of(sent, None)
    with session.begin_nested():  # a refused record leaves nothing behind
        session.add(entry)
        session.flush()
        word, gone, old = taken_back(batch.running, entry)
        against = None if old is None else old.id
        session.add(
            FieldAnswer(
                entry_id=entry.id,
                answer=word,
                why=str(gone.said),
                asked_by=told_by(gone.said),
                against_id=against,
            )
        )
    batch.withdrew(entry, word, gone, old)
    return Answered(sent.id, "conflict" if word == "conflict" else "stored", gone.said)


def _goes_too(batch: Batch, sent: Sent, because: str) -> None:
    """What an entry mends goes with it where that was taken back before it came."""
    if sent.mends is None:
        return
    batch.write()
    for one in line(batch.session, sent, of_phone=True):
        gone = take_back(batch.running, one.entry, because)
        if not gone.said:
            batch.went(one.entry, gone)


def _known(digest: str, answer: str, why: str, sent: Sent) -> Answered:
    if digest != sent.digest:
        return Answered(sent.id, "refused", "another record has this key: enter it again")
    if answer == "conflict":
        return Answered(sent.id, "conflict", why)
    if answer == "withdrawn":
        return Answered(sent.id, "duplicate", "it was taken back")
    return Answered(sent.id, "duplicate", "it was stored before")


def _fit(batch: Batch, sent: Sent, now: datetime) -> str:
    """The name of its yard, once all that a record says can be kept."""
    yard = batch.yard(sent.yard_id)
    _day(sent, now)
    if not sent.tag:
        raise RecordError(
            "hive", say("it has no tag"), say("what its tag or its lid says"), say("Enter it again")
        )
    storable((sent.tag, sent.phone, sent.by, sent.work), f"hive {sent.tag!r}")
    for seen in sent.seen:
        readings.fitting(seen)
    return yard


def _day(sent: Sent, now: datetime) -> None:
    if sent.at > now + AHEAD or sent.at < now - TOO_OLD:
        raise RecordError(
            f"hive {sent.tag}",
            say("it would be of {on}", on=sent.on),
            say("a day of the last year, up to today"),
            say("Mend the date of the sheet, or the clock of this computer")
            if sent.phone == PAPER
            else say("Look at the clock of the phone and enter it again"),
        )


def _said(sent: Sent, yard: str) -> str:
    """What is worth saying of a record that was stored: a clock that was set right."""
    if abs(sent.ahead_s) < timedelta(days=1).total_seconds():
        return ""
    way = "ahead" if sent.ahead_s > 0 else "behind"
    days = round(abs(sent.ahead_s) / 86400)
    return f"the clock of the phone was {days} days {way}: written down for {sent.on} at {yard}"
