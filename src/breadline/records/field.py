"""Entries of phones: taken in once, answered one by one, and put before a person where two do not agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, timezone
from typing import Any, Literal
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.records import colonies, readings
from breadline.records.append_only import current
from breadline.records.field_batch import Batch, Before, said_by_kind
from breadline.records.field_given_way import (
    PAPER,
    answer_of,
    ask_of,
    colony_of,
    give_way,
    is_asked_of,
    take_back,
    taken_back,
)
from breadline.records.field_tables import FieldAnswer, FieldEntry
from breadline.records.field_trials import Running, hive_of, told_of
from breadline.records.field_trials import against as ends_against
from breadline.records.field_trials import keep as keep_end
from breadline.records.plausible import doubted
from breadline.records.readings import Seen
from breadline.records.storable import storable

Answer = Literal["stored", "duplicate", "conflict", "refused"]

TOO_OLD = timedelta(days=400)  # by then the phone's clock is likelier wrong than the record that late
MENDED = "mended on the phone"
NEVER_WAS = "it was taken back before it came"
AHEAD = timedelta(hours=36)  # of today: no day of any place on earth is further on


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

    @property
    def at(self) -> datetime:
        """When it was seen, with the phone's clock set right by ours."""
        return self.seen_at - timedelta(seconds=self.ahead_s)

    @property
    def on(self) -> date:
        """The day in the yard, by the clock of the place."""
        return self.at.date()


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
    gone = batch.taken_back(sent.id)
    if gone is not None:
        batch.enter(_entry(sent, None), "withdrawn", NEVER_WAS, because=gone)
        _goes_too(batch, sent, gone)
        return Answered(sent.id, "stored", NEVER_WAS)
    found, why, against = _place(batch, sent)
    entry = _entry(sent, found)
    told = told_of(batch.running, entry) if not why else None
    if told is not None and (has := ends_against(batch.running, told)):
        why = f"{has}: which one holds?"
    if why:
        batch.enter(entry, "conflict", why, against)
        return Answered(sent.id, "conflict", why)
    said = _said(sent, yard)
    batch.enter(entry, "stored", said)
    batch.store(entry, sent.seen, sent.standing, found)
    if told is not None:
        keep_end(batch.running, told, "entered on a visit")
    if sent.mends is not None and is_asked_of(batch.session, sent.mends):
        batch.write()
        ask_of(batch.session, sent.mends, sent.id)
    return Answered(sent.id, "stored", said)


def _withdrawn(batch: Batch, sent: Sent) -> Answered:
    """Take back what it names; the record of it stays, with its reason."""
    batch.write()
    session, entry = batch.session, _entry(sent, None)
    with session.begin_nested():  # a refused record leaves nothing behind
        session.add(entry)
        session.flush()
        word, why, against = taken_back(session, entry)
        session.add(FieldAnswer(entry_id=entry.id, answer=word, why=why, against_id=against))
    batch.look_again()
    return Answered(sent.id, "conflict" if word == "conflict" else "stored", why)


def _goes_too(batch: Batch, sent: Sent, because: str) -> None:
    """What an entry mends goes with it where that was taken back before it came."""
    if sent.mends is None:
        return
    batch.write()
    old = batch.session.get(FieldEntry, sent.mends)
    if old is None or old.phone != sent.phone or old.withdraws or _of_another_visit(batch.session, sent):
        return
    take_back(batch.session, old, because)
    batch.look_again()


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
        raise RecordError("hive", "it has no tag", "what its tag or its lid says", "Enter it again")
    storable((sent.tag, sent.phone, sent.by, sent.work), f"hive {sent.tag!r}")
    for seen in sent.seen:
        readings.fitting(seen)
    return yard


def _day(sent: Sent, now: datetime) -> None:
    if sent.at > now + AHEAD or sent.at < now - TOO_OLD:
        raise RecordError(
            f"hive {sent.tag}", f"it would be of {sent.on}", "a day of the last year, up to today",
            "Look at the clock of the phone and enter it again",
        )  # fmt: skip


def _place(batch: Batch, sent: Sent) -> tuple[UUID | None, str, UUID | None]:
    """The colony that a record is of; where that is a question, why, and against which entry."""
    doubt = doubted(sent.seen)
    if doubt:
        here = [one for one in _worn(batch, sent) if one.stood(sent.on)]
        return here[0].id if len(here) == 1 else None, doubt, None
    if sent.mends is not None:
        batch.written(sent.mends)
        if not _of_another_visit(batch.session, sent) and (found := _mended(batch, sent)) is not None:
            return found
    rows = _worn(batch, sent)
    here = [one for one in rows if one.stood(sent.on)]
    if not rows and sent.new:
        return batch.new_hive(sent.yard_id, sent.tag), "", None
    if not rows:
        return None, f"no hive {sent.tag} is listed in this yard: is it new, or was the tag misread?", None
    if not here:
        return None, _gone(rows[-1]), None
    if len(here) > 1:
        return None, f"{len(here)} hives could wear the tag {sent.tag} on {sent.on}: which one is it?", None
    if sent.standing == "dead" and here[-1].standing not in ("stands", "dead"):
        return here[-1].id, _ended_so(here[-1], sent), None
    against = _told_before(batch, here[-1].id, sent)
    if against is not None:
        return here[-1].id, _twice(against, sent), against.id
    return here[-1].id, "", None


def _worn(batch: Batch, sent: Sent) -> list[colonies.InRow]:
    """The hives that wear or wore a tag, or that of a running check group."""
    rows = batch.hives(sent.yard_id, sent.tag)
    if rows:
        return rows
    hive = hive_of(batch.running, sent.yard_id, sent.on, sent.tag)
    return rows if hive is None else batch.hives(sent.yard_id, hive)


def _gone(one: colonies.InRow) -> str:
    since = f" since {one.since}" if one.since else ""
    if one.standing == "merged":
        return f"hive {one.tag} was merged into {one.into}{since}: is this {one.into}, or another hive?"
    return f"hive {one.tag} is written down as {one.standing}{since}: is this another hive?"


def _ended_so(one: colonies.InRow, sent: Sent) -> str:
    so = f"merged into {one.into}" if one.standing == "merged" else one.standing
    since = f" since {one.since}" if one.since else ""
    return f"hive {one.tag} is written down as {so}{since}: was it found dead on {sent.on}?"


def _twice(against: Before, sent: Sent) -> str:
    at = against.seen_at.astimezone(timezone(timedelta(minutes=against.offset_minutes))).strftime("%H:%M")
    if against.phone == PAPER:
        return f"hive {sent.tag} was keyed in from paper too, with other numbers: which one holds?"
    who = "on this phone" if against.phone == sent.phone else "on another phone"
    who = "on a phone" if sent.phone == PAPER else who
    return f"hive {sent.tag} was entered {who} at {at} too, with other numbers: which one holds?"


def _told_before(batch: Batch, colony_id: UUID, sent: Sent, but: UUID | None = None) -> Before | None:
    """An entry of the same hive, day and work that says otherwise of the same thing."""
    told = batch.before(sent.yard_id, sent.on, colony_id, sent.work)
    said = said_by_kind(sent.seen)
    return next((one for one in told if one.id != but and one.differs(said, sent.standing)), None)


def _of_another_visit(session: Session, sent: Sent) -> bool:
    """Whether it names an entry of another day, yard or work: a page that was left open, and no mending."""
    old = None if sent.mends is None else session.get(FieldEntry, sent.mends)
    return old is not None and (old.yard_id, old.on, old.work) != (sent.yard_id, sent.on, sent.work)


def _mended(batch: Batch, sent: Sent) -> tuple[UUID | None, str, UUID | None] | None:
    """An entry that takes the place of an earlier one of the same phone; None where it is a whole one."""
    assert sent.mends is not None
    session = batch.session
    old = session.get(FieldEntry, sent.mends)
    row = None if old is None else answer_of(session, old.id)
    if old is None or row is None:
        return None, "it mends an entry that never came: is it a whole one?", None
    if old.phone != sent.phone:
        why = f"it mends what was entered of hive {old.tag} on another phone: which one holds?"
        return colony_of(session, old), why, old.id
    if row.answer in ("withdrawn", "set aside", "conflict"):  # nothing is written down from what it mends
        batch.gone(old, give_way(session, old, MENDED))
        return None
    colony_id = colony_of(session, old)
    if row.answer != "stored" or old.tag.casefold() != sent.tag.casefold():
        return colony_id, "the entry that it mends was changed in the meantime: which one holds?", old.id
    if colony_id is None:
        return (
            None,
            f"it mends an entry of {sent.tag} that a person gave to a hive: which hive is it?",
            old.id,
        )
    gone = batch.no_longer(sent.yard_id, colony_id, sent.on)
    if gone is not None:
        return colony_id, _gone(gone), old.id
    ended = batch.ended_alive(sent.yard_id, colony_id) if sent.standing == "dead" else None
    if ended is not None:
        return colony_id, _ended_so(ended, sent), old.id
    against = _told_before(batch, colony_id, sent, but=old.id)
    if against is not None:
        return colony_id, _twice(against, sent), against.id
    trial_has = _gives_way(batch, old, _entry(sent, colony_id))
    return colony_id, f"{trial_has}: which one holds?" if trial_has else "", old.id if trial_has else None


def _gives_way(batch: Batch, old: FieldEntry, new: FieldEntry) -> str:
    """Let an entry give way to its mend; where a trial then says otherwise, what it has, and all stays."""
    step = batch.session.begin_nested()
    withdrawn = give_way(batch.session, old, MENDED)
    runs = Running(batch.session)
    told = told_of(runs, new)
    if told is not None and (has := ends_against(runs, told)):
        step.rollback()
        return has
    step.commit()
    batch.gone(old, withdrawn)
    return ""


def _entry(sent: Sent, colony_id: UUID | None) -> FieldEntry:
    offset = sent.seen_at.utcoffset() or timedelta()
    return FieldEntry(
        id=sent.id, phone=sent.phone, by=sent.by, work=sent.work, yard_id=sent.yard_id, colony_id=colony_id,
        tag=sent.tag, on=sent.on, seen_at=sent.at, offset_minutes=round(offset.total_seconds() / 60),
        clock_ahead_s=sent.ahead_s, told=sent.told, sha256=sent.digest, mends=sent.mends,
        withdraws=sent.withdraws,
    )  # fmt: skip


def _said(sent: Sent, yard: str) -> str:
    """What is worth saying of a record that was stored: a clock that was set right."""
    if abs(sent.ahead_s) < timedelta(days=1).total_seconds():
        return ""
    way = "ahead" if sent.ahead_s > 0 else "behind"
    days = round(abs(sent.ahead_s) / 86400)
    return f"the clock of the phone was {days} days {way}: written down for {sent.on} at {yard}"
