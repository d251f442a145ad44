"""A person's word on a question that an entry put before them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records import colonies
from breadline.records.append_only import put_in_place, same_again
from breadline.records.field import in_the_way, take_all
from breadline.records.field_again import as_sent, beside_feed, entered_anew
from breadline.records.field_batch import Batch
from breadline.records.field_before import seen_of
from breadline.records.field_given_way import WITHDRAWAL, take_back
from breadline.records.field_hive import stored_entry
from breadline.records.field_line import answer_of, asks_day, asks_itself, line
from breadline.records.field_questions import feed_alone, opened, question_of
from breadline.records.field_sent import entry_of
from breadline.records.field_stands import Taken, end_there, told_there
from breadline.records.field_tables import FieldAnswer, FieldEntry
from breadline.records.field_taken import Beside, take_entry
from breadline.records.field_trials import Running, told_of
from breadline.records.whys import told_by


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
    entry, row = question_of(session, entry_id)
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


def _take_for(session: Session, entry: FieldEntry, row: FieldAnswer, hive: Taken, because: str) -> None:
    asked = opened(Batch(session), entry, row)
    named = hive.colony_id or entry.colony_id
    of = colonies.place_colony(session, entry.yard_id, entry.tag) if hive.new else named
    if of is None:
        raise RecordError(
            "question", say("no colony is named"), say("the colony that it is of"), say("Choose one")
        )
    beside = Beside(hive.shown or frozenset())
    if hive.shown is None:
        own = of == entry.colony_id and not hive.new
        beside = Beside(why=asked.why if own else "", against=asked.against)
    if of == entry.colony_id or seen_of(entry.told):
        take_entry(session, entry, of, because, beside)
        put_in_place(session, row, same_again(row, answer="stored", because=because))
        return
    put_in_place(session, row, same_again(row, answer="set aside", because=because))
    take_entry(session, _entered_for(session, entry, of, because), of, because, beside)


def _entered_for(session: Session, entry: FieldEntry, of: UUID, because: str) -> FieldEntry:
    """An entry anew for another hive: it has no reading by which that hive would be known again."""
    batch, anew = Batch(session), entered_anew(entry, entry.on)
    batch.enter(entry_of(anew, of), "stored", "", because=because)
    batch.write()
    return session.get_one(FieldEntry, anew.id)


def _sure(session: Session, entry: FieldEntry, row: FieldAnswer, because: str) -> None:
    """The day of an entry is as it was written down, or its numbers are: it is taken, or asked on."""
    batch, sent = Batch(session), as_sent(entry)
    of, why, against = in_the_way(batch, sent, sure=not asks_day(row))
    batch.write()  # a hive that is new with it
    if why:
        asked = same_again(row, why=str(why), asked_by=told_by(why), against_id=against, because=because)
        put_in_place(session, row, asked)
        return
    assert of is not None  # else there is a why
    take_entry(session, entry, of, because, Beside())
    put_in_place(session, row, same_again(row, answer="stored", because=because))


def _asked_again(session: Session, entry: FieldEntry) -> None:
    """What waited when a mend came that is set aside waits again, as it was asked before."""
    old = next((one for one in line(session, entry) if one.answer != "set aside"), None)
    row = None if old is None or not old.overtaken else answer_of(session, old.entry.id)
    if row is not None:
        put_in_place(session, row, same_again(row, answer="conflict", because="its mend was set aside"))


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
    sent, batch = replace(as_sent(entry), seen=beside_feed(entry)), Batch(session)
    otherwise = told_there(batch, sent, entry.colony_id, ())
    otherwise += end_there(batch.running, told_of(batch.running, entry, entry.colony_id))
    if otherwise:
        why, before = otherwise[0].why, otherwise[0].before
        against = None if before is None else stored_entry(before)
        asked = same_again(row, why=str(why), against_id=against, asked_by=told_by(why))
        put_in_place(session, row, asked)
        return None
    take_entry(session, entry, entry.colony_id, because, Beside(), fed=False)
    put_in_place(session, row, same_again(row, answer="stored", because=because))
    return None


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
    entry, row = question_of(session, entry_id)
    put_in_place(session, row, same_again(row, answer="set aside", because=because or f"it is of {on}"))
    anew = replace(entered_anew(entry, on), day_doubt=row.why if named else "")
    (told,) = take_all(session, (anew,), moment)
    if told.answer == "refused":
        raise RecordError(f"hive {anew.tag}", told.why, say("the day of the visit"), say("Choose another"))
    if named and told.answer != "conflict":
        raise RecordError(
            f"hive {anew.tag}", say("its day is settled, and its hive with it"), say("one after the other"),
            say("Give its day first"),
        )  # fmt: skip
    return anew.id if told.answer == "conflict" else None
