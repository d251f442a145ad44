"""Questions that entries put before a person, and the person's word on them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, timezone
from typing import Any
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records import colonies
from breadline.records.append_only import current, put_in_place, same_again, withdraw
from breadline.records.field import in_the_way, take_all
from breadline.records.field_batch import Batch
from breadline.records.field_before import AVERAGE, SHEET, Before, Words, said_by_kind, seen_of
from breadline.records.field_given_way import WITHDRAWAL, give_way, take_back
from breadline.records.field_hive import FED_ON_AVERAGE, of_another_visit, stored_entry, twice
from breadline.records.field_line import MOVED, answer_of, asks_day, asks_itself, line
from breadline.records.field_sent import Sent, entry_of
from breadline.records.field_stands import (
    StandsThere,
    Taken,
    There,
    end_there,
    shown_beside,
    told_there,
    words_key,
)
from breadline.records.field_tables import FieldAnswer, FieldEntry
from breadline.records.field_trials import Running, keep, told_of
from breadline.records.ids import new_id
from breadline.records.readings import Seen
from breadline.records.tables import Reading
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
    return [_open(batch, session.get_one(FieldEntry, row.entry_id), row) for row in rows]


def _open(batch: Batch, entry: FieldEntry, row: FieldAnswer) -> Open:
    """An entry that waits as a person is shown it."""
    session = batch.session
    against = None if row.against_id is None else session.get_one(FieldEntry, row.against_id)
    asked = Open(entry, row.why, against, row.asked_by, feed_alone(entry, row), asks_itself(entry, row))
    if against is None or _holds(session, against):
        return asked
    return replace(asked, against=None) if asked.own else _asked_now(batch, asked)


def asked_otherwise(session: Session, entry_id: UUID, key: str) -> bool:
    """Whether a question is another one by now than that of a key."""
    return _open(Batch(session), *_question(session, entry_id)).key != key


def waiting(session: Session) -> int:
    """How many entries wait for a person."""
    rows = current(FieldAnswer).order_by(None).where(FieldAnswer.answer == "conflict").subquery()
    return session.scalar(select(func.count()).select_from(rows)) or 0


def still_asked(session: Session, entry_ids: Sequence[UUID]) -> int:
    """How many of these entries wait for a person."""
    answers = [answer_of(session, key) for key in dict.fromkeys(entry_ids)]
    return sum(row is not None and row.answer == "conflict" for row in answers)


def _holds(session: Session, entry: FieldEntry) -> bool:
    answer = answer_of(session, entry.id)
    return answer is not None and answer.answer == "stored"


def _asked_now(batch: Batch, asked: Open) -> Open:
    """A question whose other entry was decided against meanwhile, beside what holds in its place."""
    entry = asked.entry
    if entry.colony_id is None:
        return replace(asked, against=None)
    sent = _anew(entry, entry.on)
    told = batch.against(entry, entry.colony_id, said_by_kind(sent.seen), sent.standing)
    there = [one for one in told if stored_entry(one) is not None]
    if not there:
        return replace(asked, against=None)
    why = twice(there[0], sent)
    return replace(
        asked, why=str(why), against=batch.session.get_one(FieldEntry, there[0].id), asked_by=told_by(why)
    )


def decide(
    session: Session, entry_id: UUID, take: bool, colony_id: UUID | None, because: str, new: bool = False
) -> None:
    """A person's word on a question: take the entry, for which colony or a ``new`` one, or set it aside.

    As ``answer``, of one who was shown nothing but the question.
    """
    answer(session, entry_id, take, Taken(colony_id, new), because)


def answer(session: Session, entry_id: UUID, take: bool, hive: Taken, because: str) -> None:
    """A person's word on a question: take the entry, for which hive, or set it aside.

    What says otherwise of the same hive, day and work gives way where the entry is taken, and so does
    what it mends. Where the entry itself was in doubt, its day or a number, what else stands in its way
    is asked next; where it is set aside, what it mends is as it was before.

    Errors
    ------
    RecordError
        If there is no such question, or no colony to take it for; ``StandsThere`` where something would
        give way that the person was not shown. Whoever calls undoes what was begun then.
    """
    entry, row = _question(session, entry_id)
    doubt = asks_itself(entry, row)
    if not take:
        put_in_place(session, row, same_again(row, answer="set aside", because=because))
        if doubt:
            _asked_again(session, entry)
    elif entry.withdraws is not None:
        old = row.against_id or entry.withdraws  # the one that took its place, where it was mended
        take_back(Running(session), session.get_one(FieldEntry, old), because)
        now = answer_of(session, entry.id) or row
        put_in_place(session, now, same_again(row, answer=WITHDRAWAL, because=because))
    elif doubt and hive.colony_id in (None, entry.colony_id) and not hive.new:
        _sure(session, entry, row, because)
    else:
        _take_for(session, entry, row, hive, because)


def shown_now(session: Session, entry_id: UUID) -> frozenset[str]:
    """The keys of what stands beside a question now, at the hive that its entry came for.

    Errors
    ------
    RecordError
        If there is no such question.
    """
    entry, row = _question(session, entry_id)
    if entry.colony_id is None or entry.withdraws is not None:
        return frozenset()
    batch = Batch(session)
    asked = _open(batch, entry, row)
    there = told_there(batch, _as_sent(entry), entry.colony_id, ())
    return shown_beside(there, asked.why, asked.against) | {words_key(asked.why)}


def _question(session: Session, entry_id: UUID) -> tuple[FieldEntry, FieldAnswer]:
    """An entry that waits for a person, and how it is asked."""
    entry = session.get(FieldEntry, entry_id)
    row = None if entry is None else answer_of(session, entry.id)
    if entry is None or row is None or row.answer != "conflict":
        raise RecordError("question", say("it was answered before, or is not known"), say("one that waits"))
    return entry, row


def _take_for(session: Session, entry: FieldEntry, row: FieldAnswer, hive: Taken, because: str) -> None:
    asked = _open(Batch(session), entry, row)
    named = hive.colony_id or entry.colony_id
    of = colonies.place_colony(session, entry.yard_id, entry.tag) if hive.new else named
    if of is None:
        raise RecordError(
            "question", say("no colony is named"), say("the colony that it is of"), say("Choose one")
        )
    beside = _Beside(hive.shown or frozenset())
    if hive.shown is None:
        own = of == entry.colony_id and not hive.new
        beside = _Beside(why=asked.why if own else "", against=asked.against)
    if of == entry.colony_id or seen_of(entry.told):
        _taken(session, entry, of, because, beside)
        put_in_place(session, row, same_again(row, answer="stored", because=because))
        return
    put_in_place(session, row, same_again(row, answer="set aside", because=because))
    _taken(session, _entered_for(session, entry, of, because), of, because, beside)


def _entered_for(session: Session, entry: FieldEntry, of: UUID, because: str) -> FieldEntry:
    """An entry anew for another hive: it has no reading by which that hive would be known again."""
    batch, anew = Batch(session), _anew(entry, entry.on)
    batch.enter(entry_of(anew, of), "stored", "", because=because)
    batch.write()
    return session.get_one(FieldEntry, anew.id)


@dataclass(frozen=True)
class _Beside:
    """What a person was shown: what has these keys, and beside the question what it asks and an entry."""

    keys: frozenset[str] = frozenset()
    why: str = ""
    against: FieldEntry | None = None


def _sure(session: Session, entry: FieldEntry, row: FieldAnswer, because: str) -> None:
    """The day of an entry is as it was written down, or its numbers are: it is taken, or asked on."""
    batch, sent = Batch(session), _as_sent(entry)
    of, why, against = in_the_way(batch, sent, sure=not asks_day(row))
    batch.write()  # a hive that is new with it
    if why:
        asked = same_again(row, why=str(why), asked_by=told_by(why), against_id=against, because=because)
        put_in_place(session, row, asked)
        return
    assert of is not None  # else there is a why
    _taken(session, entry, of, because, _Beside())
    put_in_place(session, row, same_again(row, answer="stored", because=because))


def _asked_again(session: Session, entry: FieldEntry) -> None:
    """What waited when a mend came that is set aside waits again, as it was asked before."""
    old = next((one for one in line(session, entry) if one.answer != "set aside"), None)
    row = None if old is None or not old.overtaken else answer_of(session, old.entry.id)
    if row is not None:
        put_in_place(session, row, same_again(row, answer="conflict", because="its mend was set aside"))


def _taken(
    session: Session, entry: FieldEntry, of: UUID, because: str, shown: _Beside, fed: bool = True
) -> None:
    """Write an entry down for a colony, with the feed or without; all that says otherwise gives way.

    Errors
    ------
    StandsThere
        If something of it was not ``shown``.
    """
    seen, standing = seen_of(entry.told) if fed else _beside_feed(entry), entry.told.get("standing")
    sent = replace(_as_sent(entry), seen=seen)
    mended = {one.entry.id for one in line(session, entry) if one.answer == "stored"}
    mended |= _of_other(session, entry)
    there = told_there(Batch(session), sent, of, mended)
    _gives_way(session, there, of, sent, because)
    for key in sorted(mended):
        give_way(session, session.get_one(FieldEntry, key), because)
    runs = Running(session)
    end = told_of(runs, entry, of)
    there += end_there(runs, end)
    known = shown.keys | shown_beside(there, shown.why, shown.against)
    if any(one.key not in known for one in there):
        raise StandsThere.of(entry.tag, there)
    batch = Batch(session)
    batch.store(entry, seen, standing, of)
    batch.write()
    if end is not None:
        keep(runs, end, because or "decided on the page In the yard")


def _gives_way(session: Session, there: Sequence[There], of: UUID, sent: Sent, because: str) -> None:
    """Let what stands at a hive give way: entries, rows of sheets, and averages of their feed."""
    told = [one.before for one in there if one.before is not None]
    said = said_by_kind(sent.seen)
    _rows_give_way(session, [one for one in told if one.phone == SHEET], of, said, because)
    _averages_give_way(session, [one.id for one in told if one.phone == AVERAGE], because)
    for key in sorted(one.id for one in told if one.phone not in (SHEET, AVERAGE)):
        give_way(session, session.get_one(FieldEntry, key), because)


def _of_other(session: Session, entry: FieldEntry) -> set[UUID]:
    """The stored entry of another phone that an entry mends."""
    old = None if entry.mends is None else session.get(FieldEntry, entry.mends)
    if old is None or old.phone == entry.phone or of_another_visit(session, entry):
        return set()
    return {old.id} if _holds(session, old) else set()


def _rows_give_way(session: Session, rows: Sequence[Before], of: UUID, said: Words, because: str) -> None:
    """Withdraw what a sheet said otherwise of a hive; all of it where the hive was found dead."""
    for one in rows:
        kinds = one.otherwise(said) or list(one.said)
        wanted = current(Reading).where(Reading.visit_id == one.id, Reading.colony_id == of)
        for reading in session.scalars(wanted.where(Reading.kind.in_(kinds))):
            withdraw(session, reading, because)


def _averages_give_way(session: Session, visits: Sequence[UUID], because: str) -> None:
    """Withdraw what a sheet said that the yard was fed on average: hive by hive it is told better."""
    wanted = current(Reading).where(Reading.visit_id.in_(visits), Reading.colony_id.is_(None))
    for reading in session.scalars(wanted.where(Reading.kind == "feed_given")):
        withdraw(session, reading, because)


def set_aside(session: Session, entry_id: UUID, because: str) -> None:
    """A person's word that what stands in an entry's way holds: the entry is set aside.

    Where that is what a sheet says its yard was fed on average, nothing but the feed is: the rest is
    written down, or asked about where something else says otherwise by now.

    Errors
    ------
    RecordError
        If there is no such question.
    """
    entry = session.get(FieldEntry, entry_id)
    row = None if entry is None else answer_of(session, entry.id)
    if entry is None or row is None or not feed_alone(entry, row):
        return decide(session, entry_id, False, None, because)
    assert entry.colony_id is not None
    sent, batch = replace(_as_sent(entry), seen=_beside_feed(entry)), Batch(session)
    otherwise = told_there(batch, sent, entry.colony_id, ())
    otherwise += end_there(batch.running, told_of(batch.running, entry, entry.colony_id))
    if otherwise:
        why, before = otherwise[0].why, otherwise[0].before
        against = None if before is None else stored_entry(before)
        asked = same_again(row, why=str(why), against_id=against, asked_by=told_by(why))
        put_in_place(session, row, asked)
        return None
    _taken(session, entry, entry.colony_id, because, _Beside(), fed=False)
    put_in_place(session, row, same_again(row, answer="stored", because=because))
    return None


def feed_alone(entry: FieldEntry, row: FieldAnswer) -> bool:
    """Whether a sheet's average feed alone stands in an entry's way, and it holds more than that."""
    asked = (row.asked_by or {}).get("say") == FED_ON_AVERAGE
    more = bool(_beside_feed(entry) or entry.told.get("standing"))
    return asked and more and entry.colony_id is not None and entry.withdraws is None


def _beside_feed(entry: FieldEntry) -> tuple[Seen, ...]:
    return tuple(one for one in seen_of(entry.told) if one.kind != "put_on")


def of_day(
    session: Session, entry_id: UUID, on: date, because: str, moment: datetime, named: bool = False
) -> UUID | None:
    """A person's word that an entry is of another day: it is set aside, and entered anew for that day.

    The key of the new entry where something stands in its way, so that it is a question again; and
    where it is of a hive that was ``named`` too, for which it is to be taken next.
    ``moment`` is our clock, aware.

    Errors
    ------
    RecordError
        If there is no such question, or that day cannot be.
    """
    entry, row = _question(session, entry_id)
    put_in_place(session, row, same_again(row, answer="set aside", because=because or f"it is of {on}"))
    anew = replace(_anew(entry, on), day_doubt=row.why if named else "")
    (told,) = take_all(session, (anew,), moment)
    if told.answer == "refused":
        raise RecordError(f"hive {anew.tag}", told.why, say("the day of the visit"), say("Choose another"))
    if named and told.answer != "conflict":
        raise RecordError(
            f"hive {anew.tag}", say("its day is settled, and its hive with it"), say("one after the other"),
            say("Give its day first"),
        )  # fmt: skip
    return anew.id if told.answer == "conflict" else None


def _anew(entry: FieldEntry, on: date) -> Sent:
    at = entry.seen_at.astimezone(timezone(timedelta(minutes=entry.offset_minutes)))
    at = at.replace(year=on.year, month=on.month, day=on.day)
    key = new_id()
    told = {name: one for name, one in entry.told.items() if name != "clock"}
    told |= {"id": str(key), "at": at.isoformat(), MOVED: str(entry.id)}
    return _sent_again(entry, key, at, told)


def _as_sent(entry: FieldEntry) -> Sent:
    """An entry as the record that it came as."""
    at = entry.seen_at.astimezone(timezone(timedelta(minutes=entry.offset_minutes)))
    return _sent_again(entry, entry.id, at, entry.told)


def _sent_again(entry: FieldEntry, key: UUID, at: datetime, told: dict[str, Any]) -> Sent:
    """An entry as a record that is to be written down, its clock set right."""
    digest = hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()
    return Sent(
        id=key, phone=entry.phone, work=entry.work, yard_id=entry.yard_id, tag=entry.tag, seen_at=at,
        told=told, digest=digest, by=entry.by, seen=seen_of(told), standing=told.get("standing"),
        mends=entry.mends, new=bool(told.get("new")),
    )  # fmt: skip
