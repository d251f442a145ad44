"""Entries that hold no longer: mended by a later one, or taken back altogether. Rows are only added."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy import Select, or_, select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import noted, say
from breadline.records.append_only import current, history, put_in_place, same_again, withdraw
from breadline.records.colonies import FOUND_DEAD, UNLISTED
from breadline.records.field_line import Older, answer_of, as_moved, asks_itself, line
from breadline.records.field_tables import ColonyFact, FieldAnswer, FieldEntry, FieldReading
from breadline.records.field_trials import Running, hand_over, told_of
from breadline.records.tables import Colony, Reading, Visit
from breadline.records.whys import asking, told_by
from breadline.records.yard_rows import FROM_PHONE

PAPER = "paper"  # as which what was keyed in from sheets comes, beside the keys of phones
LAPTOP = "laptop"  # as which what is taken back on a page of the program comes
WITHDRAWAL = "withdrawal"  # how a record that takes another one back was answered
NOT_COME = asking(noted("it has not come yet: when it comes it is kept, and nothing is written down from it"))
BEFORE = {
    "mended": asking(noted("another entry had taken its place before: that one stands")),
    "set aside": asking(noted("it had been set aside before")),
    "withdrawn": asking(noted("it had been taken back before")),
}


def colony_of(session: Session, entry: FieldEntry) -> UUID | None:
    """The colony that an entry was written down for, which a person may have said."""
    links = select(Reading.colony_id).join(FieldReading, FieldReading.reading_id == Reading.id)
    return session.scalar(links.where(FieldReading.entry_id == entry.id).limit(1)) or entry.colony_id


@dataclass(frozen=True)
class Gone:
    """What went with an entry: readings, the visit of its day, the hive; ``said`` where nothing did.

    ``older`` is what it was to take the place of, which goes with it.
    """

    said: str = ""
    readings: tuple[UUID, ...] = ()
    visit: bool = False
    hive: bool = False
    older: tuple[tuple[FieldEntry, Gone], ...] = ()


def give_way(
    session: Session, old: FieldEntry, because: str, word: str = "mended", runs: Running | None = None
) -> list[UUID]:
    """Withdraw what was written down from an entry; which readings. The entry itself stays as it came.

    A reading that another entry stands for too, word for word, stays.
    """
    colony_id = colony_of(session, old)
    links = current(Reading).join(FieldReading, FieldReading.reading_id == Reading.id)
    rows = list(session.scalars(links.where(FieldReading.entry_id == old.id)))
    shared = _stand_for_others(session, [row.id for row in rows], old.id)
    gone = [row for row in rows if row.id not in shared]
    session.add_all(same_again(row, withdrawn=True, because=because, replaces=row.id) for row in gone)
    row = answer_of(session, old.id)
    if row is not None and row.answer in ("stored", "conflict"):
        put_in_place(session, row, same_again(row, answer=word, because=because))
        if row.answer == "stored":
            _end_is_open(runs or Running(session), colony_id, old, because)
    session.flush()
    return [one.id for one in gone]


def _stand_for_others(session: Session, reading_ids: Sequence[UUID], entry_id: UUID) -> set[UUID]:
    """Which of these readings another stored entry stands for too."""
    others = current(FieldAnswer).join(FieldReading, FieldReading.entry_id == FieldAnswer.entry_id)
    wanted = others.where(
        FieldReading.reading_id.in_(reading_ids), FieldReading.entry_id != entry_id,
        FieldAnswer.answer == "stored",
    )  # fmt: skip
    return set(session.scalars(wanted.order_by(None).with_only_columns(FieldReading.reading_id)))


def taken_back(runs: Running, entry: FieldEntry) -> tuple[str, Gone, FieldEntry | None]:
    """Take back what a withdrawal names: how it is answered, what went, and which entry it named.

    Errors
    ------
    RecordError
        If it names itself or another withdrawal.
    """
    assert entry.withdraws is not None
    old = runs.session.get(FieldEntry, entry.withdraws)
    old = None if old is None else as_moved(runs.session, old)
    if entry.withdraws == entry.id or (old is not None and old.withdraws is not None):
        raise RecordError(f"hive {entry.tag}", say("it takes back a taking back"), say("an entry of a hive"),
                          say("Enter the hive again"))  # fmt: skip
    if old is None:
        return WITHDRAWAL, Gone(NOT_COME), None
    if old.phone != entry.phone and entry.phone not in (PAPER, LAPTOP):
        why = asking(
            noted("another phone takes back what was entered of hive {tag}: is it to go?"), tag=old.tag
        )
        return "conflict", Gone(why), old
    return WITHDRAWAL, take_back(runs, old, str(entry.told.get("because", ""))), old


def take_back(runs: Running, old: FieldEntry, because: str) -> Gone:
    """Take an entry back, whatever became of it, with what it was to take the place of; what went with it."""
    session, because = runs.session, because or "taken back"
    old = as_moved(session, old)
    row = answer_of(session, old.id)
    behind = line(session, old, of_phone=row is not None and row.answer != "stored")
    before = "" if row is None else BEFORE.get(row.answer, "")
    if before:
        asked = row is not None and row.answer == "set aside"
        older = _line_back(runs, behind, because) if asked else ()
        return Gone("" if older else before, older=older)
    colony_id = colony_of(session, old)
    gone = give_way(session, old, because, "withdrawn", runs)
    _ask_without(session, old)
    older = _line_back(runs, behind, because)
    visit = _empty_visit(session, old, because)
    return Gone("", tuple(gone), visit, _unlisted(session, old, colony_id, because), older)


def _line_back(runs: Running, behind: Sequence[Older], because: str) -> tuple[tuple[FieldEntry, Gone], ...]:
    """Take back what an entry was to take the place of; what was answered for before stays so."""
    return tuple((one.entry, take_back(runs, one.entry, because)) for one in behind if one.here)


def taken_back_before(session: Session, keys: Sequence[UUID]) -> dict[UUID, str]:
    """Of these keys, those that were taken back before the entry itself came, and why."""
    answers = current(FieldAnswer).where(FieldAnswer.answer == WITHDRAWAL)
    told = answers.join(FieldEntry, FieldEntry.id == FieldAnswer.entry_id).with_only_columns(FieldEntry)
    rows = told.where(FieldEntry.withdraws.in_(keys)).order_by(None).order_by(FieldEntry.id.desc())
    return {one.withdraws: str(one.told.get("because", "")) for one in session.scalars(rows) if one.withdraws}


def is_asked_of(session: Session, entry_id: UUID) -> bool:
    """Whether a question is held against an entry."""
    rows = current(FieldAnswer).where(FieldAnswer.against_id == entry_id, FieldAnswer.answer == "conflict")
    return session.scalar(rows.limit(1)) is not None


def ask_of(session: Session, old_id: UUID, new_id: UUID) -> None:
    """Questions held against an entry are held against the one that took its place."""
    for row in session.scalars(current(FieldAnswer).where(FieldAnswer.against_id == old_id)):
        if row.answer == "conflict" and row.entry_id != new_id:
            put_in_place(session, row, same_again(row, against_id=new_id, because="the other one was mended"))


def _ask_without(session: Session, old: FieldEntry) -> None:
    """Questions held against an entry that was taken back stay questions, of one side."""
    for row in session.scalars(current(FieldAnswer).where(FieldAnswer.against_id == old.id)):
        if row.answer != "conflict":
            continue
        one = session.get_one(FieldEntry, row.entry_id)
        if one.withdraws is not None:  # what it asks for is done
            put_in_place(session, row, same_again(row, answer=WITHDRAWAL, because="taken back elsewhere"))
            continue
        if asks_itself(one, row):  # that is still open
            put_in_place(session, row, same_again(row, against_id=None, because="the other one went"))
            continue
        why = asking(
            noted(
                "what it did not agree with was taken back: is this entry of hive {tag} to be written down?"
            ),
            tag=one.tag,
        )
        new = same_again(
            row, against_id=None, why=str(why), asked_by=told_by(why), because="the other one went"
        )
        put_in_place(session, row, new)


def _end_is_open(runs: Running, colony_id: UUID | None, old: FieldEntry, because: str) -> None:
    """Withdraw what an entry had said of the end of its hive, in the row of hives and in a trial.

    What another entry that stands says of that end, on whichever day, holds from then on.
    """
    end = told_of(runs, old, colony_id)
    if end is not None and colony_id is not None:
        rest = sorted(_of_colony(runs.session, colony_id, old), key=lambda one: one.seen_at)
        stand = [told for one in rest if (told := told_of(runs, one, colony_id)) is not None]
        hand_over(runs, end, [one.end for one in stand if one.trial.id == end.trial.id], because)
    if old.told.get("standing") and colony_id is not None:
        _stands_again(runs.session, colony_id, old, because)


def _stands_again(session: Session, colony_id: UUID, old: FieldEntry, because: str) -> None:
    """Bring a hive back that was found dead, where nothing else was said of it since."""
    fact = session.scalar(current(ColonyFact).where(ColonyFact.colony_id == colony_id))
    if fact is None or (fact.standing, fact.since) != ("dead", old.on):
        return  # merged, sold or moved since: that was said later, and stands
    found = {one.on for one in _of_colony(session, colony_id, old) if one.told.get("standing")}
    if old.on in found:
        return  # somebody else found it dead too
    was = next((one for one in reversed(history(session, fact)) if _was_so(one, old.on, found)), None)
    told = (None, None) if was is None else (was.since, was.into_id)
    standing = "stands" if was is None else was.standing
    new = same_again(fact, standing=standing, since=told[0], into_id=told[1], because=because)
    put_in_place(session, fact, new)


def _was_so(fact: ColonyFact, but: date, found: set[date]) -> bool:
    """Whether a word on a hive still holds: a death that was entered is so while an entry says it."""
    entered = fact.standing == "dead" and fact.because == FOUND_DEAD
    return (fact.standing, fact.since) != ("dead", but) and (not entered or fact.since in found)


def _of_colony(session: Session, colony_id: UUID, but: FieldEntry) -> list[FieldEntry]:
    """Other entries of a colony that are written down."""
    mine = select(FieldReading.entry_id).join(Reading, Reading.id == FieldReading.reading_id)
    mine = mine.where(Reading.colony_id == colony_id)
    wanted = _stored().where(FieldEntry.yard_id == but.yard_id, FieldEntry.id != but.id)
    wanted = wanted.where(or_(FieldEntry.colony_id == colony_id, FieldEntry.id.in_(mine)))
    return [one for one in session.scalars(wanted) if colony_of(session, one) == colony_id]


def _stored(*answers: str) -> Select[FieldEntry]:
    """The entries that are answered so now: written down, where nothing is said."""
    rows = current(FieldAnswer).order_by(None).where(FieldAnswer.answer.in_(answers or ("stored",)))
    told = rows.join(FieldEntry, FieldEntry.id == FieldAnswer.entry_id).with_only_columns(FieldEntry)
    return told


def _unlisted(session: Session, old: FieldEntry, colony_id: UUID | None, because: str) -> bool:
    """Take a hive off the row that was new with an entry, where nothing else was ever said of it."""
    fact = session.scalar(current(ColonyFact).where(ColonyFact.colony_id == colony_id))
    if fact is None or fact.place or fact.walk is not None or fact.standing != "stands":
        return False
    made_at = session.get_one(Colony, fact.colony_id).made_at
    by_entry = select(FieldEntry.id).where(FieldEntry.colony_id == colony_id, FieldEntry.made_at <= made_at)
    others = _stored("stored", "conflict").where(FieldEntry.colony_id == colony_id)
    seen = current(Reading).where(Reading.colony_id == colony_id)
    if old.made_at > made_at and session.scalar(by_entry.limit(1)) is None:
        return False  # it was listed before anybody entered it
    if session.scalar(others.limit(1)) is not None:
        return False
    if session.scalar(seen.limit(1)) is not None:
        return False
    put_in_place(session, fact, same_again(fact, standing=UNLISTED, since=old.on, because=because))
    return True


def _empty_visit(session: Session, old: FieldEntry, because: str) -> bool:
    """Withdraw the visit of phones from which all was taken back: nobody was seen to be there."""
    here = _stored().where(FieldEntry.yard_id == old.yard_id, FieldEntry.on == old.on)
    if session.scalar(here.limit(1)) is not None:
        return False
    visits = current(Visit).where(Visit.yard_id == old.yard_id, Visit.on == old.on, Visit.note == FROM_PHONE)
    empty = [
        one for one in session.scalars(visits)
        if session.scalar(current(Reading).where(Reading.visit_id == one.id).limit(1)) is None
    ]  # fmt: skip
    for visit in empty:
        withdraw(session, visit, because)
    return bool(empty)
