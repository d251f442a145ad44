"""An entry that a person takes is written down, and all that says otherwise of its hive gives way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.records.append_only import current, withdraw
from breadline.records.field_again import as_sent, beside_feed
from breadline.records.field_batch import Batch
from breadline.records.field_before import AVERAGE, SHEET, Before, Words, said_by_kind, seen_of
from breadline.records.field_given_way import give_way
from breadline.records.field_hive import of_another_visit
from breadline.records.field_line import holds, line
from breadline.records.field_sent import Sent
from breadline.records.field_stands import StandsThere, There, end_there, shown_beside, told_there
from breadline.records.field_tables import FieldEntry
from breadline.records.field_trials import Running, keep, told_of
from breadline.records.tables import Reading


@dataclass(frozen=True)
class Beside:
    """What a person was shown: what has these keys, and beside the question what it asks and an entry."""

    keys: frozenset[str] = frozenset()
    why: str = ""
    against: FieldEntry | None = None


def take_entry(
    session: Session, entry: FieldEntry, of: UUID, because: str, shown: Beside, fed: bool = True
) -> None:
    """Write an entry down for a colony, with the feed or without; all that says otherwise gives way.

    Errors
    ------
    StandsThere
        If something of it was not ``shown``.
    """
    seen, standing = seen_of(entry.told) if fed else beside_feed(entry), entry.told.get("standing")
    sent = replace(as_sent(entry), seen=seen)
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
    return {old.id} if holds(session, old) else set()


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
