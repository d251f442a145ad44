"""A yard's facts, bloom and looks as they are typed by hand, one form at a time; nothing is overwritten."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.need.yard import Bloom
from breadline.records import readings, yard_rows
from breadline.records.append_only import current, put_in_place, withdraw
from breadline.records.readings import Look, Seen
from breadline.records.storable import storable
from breadline.records.tables import BloomRow, Reading, Visit, YardFact, YardRow
from breadline.records.yards import add_operation, fact, operations

WHY = "typed on the page"
_OWN = {"id", "made_at", "replaces", "withdrawn", "because", "yard_id"}
_LASTING = [c.key for c in YardFact.__table__.columns if c.key not in _OWN]


def add_facts(session: Session, told: YardFact, bloom: Sequence[Bloom] = ()) -> UUID:
    """A new yard by what lasts of it, without a count yet; its key.

    Errors
    ------
    RecordError
        If a value cannot be kept, or there are several operations to choose from.
    """
    known = operations(session)
    if len(known) > 1:
        raise RecordError(
            "operation",
            say("{known} are in this book", known=len(known)),
            "one",
            say("Bring the yard in by its file"),
        )
    owner = known[0] if known else add_operation(session, "")
    row = YardRow(operation_id=owner.id)
    session.add(row)
    session.flush()
    told.yard_id = row.id
    _storable(told, bloom)
    session.add(told)
    session.flush()
    _add_bloom(session, row.id, bloom)
    return row.id


def say_facts(session: Session, yard_id: UUID, told: YardFact, bloom: Sequence[Bloom]) -> bool:
    """What lasts of a yard as it is said now, in the place of what was; whether anything differs.

    Errors
    ------
    RecordError
        If there is no such yard, or a value cannot be kept.
    """
    old, before = fact(session, yard_id), bloom_rows(session, yard_id)
    told.yard_id, told.because = yard_id, WHY
    _storable(told, bloom)
    other = any(getattr(told, name) != getattr(old, name) for name in _LASTING)
    if other:
        put_in_place(session, old, told)
    blooms_else = tuple(yard_rows.bloom_from(row) for row in before) != tuple(bloom)
    if blooms_else:
        for row in before:
            withdraw(session, row, WHY)
        _add_bloom(session, yard_id, bloom)
    return other or blooms_else


def same_facts(one: YardFact, other: YardFact) -> bool:
    """Whether two rows say the same of a yard."""
    return all(getattr(one, name) == getattr(other, name) for name in _LASTING)


def bloom_rows(session: Session, yard_id: UUID) -> list[BloomRow]:
    """What the keeper wrote down of the bloom, in its order."""
    wanted = current(BloomRow).where(BloomRow.yard_id == yard_id)
    return list(session.scalars(wanted.order_by(None).order_by(BloomRow.position, BloomRow.id)))


def add_look(session: Session, yard_id: UUID, look: Look, seen: Sequence[Seen]) -> bool:
    """A day in the yard with what was counted and seen; False where the same stands already.

    Errors
    ------
    RecordError
        If there is no such yard, or a value cannot be kept.
    """
    fact(session, yard_id)  # a yard on the list
    told = {(one.kind, one.value, one.word, one.out_of, one.on or look.on) for one in seen}
    for visit in readings.visits(session, yard_id, look.on):
        if visit.on == look.on and _read_on(session, visit) == told:
            return False
    visit = readings.add_visit(session, yard_id, look)
    for one in seen:
        readings.add(session, visit.id, one)
    return True


def _read_on(session: Session, visit: Visit) -> set[tuple[object, ...]]:
    wanted = current(Reading).where(Reading.visit_id == visit.id, Reading.colony_id.is_(None))
    return {
        (one.kind, one.value, one.word, one.out_of, one.on or visit.on) for one in session.scalars(wanted)
    }


def _storable(told: YardFact, bloom: Sequence[Bloom]) -> None:
    storable(tuple(v for name in _LASTING if isinstance(v := getattr(told, name), str | int | float)), "yard")
    for one in bloom:
        storable(one, "bloom")


def _add_bloom(session: Session, yard_id: UUID, bloom: Sequence[Bloom]) -> None:
    session.add_all(yard_rows.bloom_of(one, yard_id, n) for n, one in enumerate(bloom))
    session.flush()
