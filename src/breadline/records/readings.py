"""What was counted or seen on a visit: added, corrected, withdrawn, never overwritten."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal, get_args
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.need.yard import BreadUnit, Honey, PollenSeen
from breadline.records import append_only
from breadline.records.storable import storable
from breadline.records.tables import Colony, Reading, Visit, YardRow

Kind = Literal[
    "bread", "frames_of_bees", "frames_of_brood", "bees_kg", "queens", "mites_per_100",
    "honey", "foulbrood_signs", "beetles_seen", "maggots_seen", "fed_miticide_label",
    "pollen_seen", "fresh_arcs", "outside_c", "feed_given", "fed_without_record", "begins_afresh",
    "note", "patty_left", "put_on", "queen_status", "weight",
]  # fmt: skip

UNITS: dict[str, tuple[str, ...]] = {
    "bread": get_args(BreadUnit),
    "frames_of_bees": ("frames",),
    "frames_of_brood": ("frames",),
    "bees_kg": ("kg",),
    "queens": ("queens",),
    "mites_per_100": ("mites/100 bees",),
    "outside_c": ("°C",),
    "feed_given": ("g/colony",),
    "foulbrood_signs": ("yes/no",),
    "beetles_seen": ("yes/no",),
    "maggots_seen": ("yes/no",),
    "fed_miticide_label": ("yes/no",),
    "fresh_arcs": ("yes/no",),
    "fed_without_record": ("yes/no",),
    "begins_afresh": ("yes/no",),
    "put_on": ("g",),  # of feed, on one colony
    "weight": ("kg",),  # of a hive as it stands
}  # kinds that are words have no unit
WORDS: dict[str, tuple[str, ...]] = {
    "honey": get_args(Honey),
    "pollen_seen": get_args(PollenSeen),
    "patty_left": ("none", "some", "most"),
    "queen_status": ("seen", "eggs", "neither"),
}


@dataclass(frozen=True)
class Seen:
    """One thing counted or seen.

    ``unit`` may be left empty where the kind has only one. Yes and no are 1 and 0.
    """

    kind: Kind
    value: float | None = None  # [unit]
    unit: str = ""
    word: str | None = None  # of honey and pollen_seen
    out_of: float | None = None  # queens that were looked for [queens]
    definition: str | None = None  # key on the shelf: what a frame of bees means
    on: date | None = None  # where it is not the day of the visit
    note: str = ""


@dataclass(frozen=True)
class Look:
    """A day in the yard; the boxes are those of the average colony."""

    on: date
    colonies_looked_in: int | None = None
    start: str | None = None
    boxes: tuple[str, ...] | None = None
    frames_per_box: int | None = None
    note: str = ""


def add_visit(session: Session, yard_id: UUID, look: Look) -> Visit:
    """Write down a day in the yard.

    Errors
    ------
    RecordError
        If there is no such yard.
    """
    storable(look, "visit")
    if session.get(YardRow, yard_id) is None:
        raise RecordError(
            "yard", say("there is no yard {yard_id}", yard_id=yard_id), say("a yard of this book")
        )
    boxes = None if look.boxes is None else list(look.boxes)
    visit = Visit(
        yard_id=yard_id, on=look.on, colonies_looked_in=look.colonies_looked_in, start=look.start,
        boxes=boxes, frames_per_box=look.frames_per_box, note=look.note,
    )  # fmt: skip
    session.add(visit)
    session.flush()
    return visit


def correct_visit(session: Session, visit_id: UUID, look: Look, because: str) -> Visit:
    """Put a corrected visit in the place of one; its readings that hold go along with it.

    Errors
    ------
    RecordError
        If there is none, or it was corrected or withdrawn before.
    """
    storable(look, "visit")
    old = _visit(session, visit_id)
    boxes = None if look.boxes is None else list(look.boxes)
    new = append_only.put_in_place(
        session,
        old,
        append_only.same_again(
            old, on=look.on, colonies_looked_in=look.colonies_looked_in, start=look.start,
            boxes=boxes, frames_per_box=look.frames_per_box, note=look.note, because=because,
        ),
    )  # fmt: skip
    for reading in of_visit(session, visit_id):
        moved = append_only.same_again(reading, visit_id=new.id, because=because)
        append_only.put_in_place(session, reading, moved)
    return new


def withdraw_visit(session: Session, visit_id: UUID, because: str) -> None:
    """Say that a visit did not take place, and withdraw what was read on it."""
    for reading in of_visit(session, visit_id):
        append_only.withdraw(session, reading, because)
    append_only.withdraw(session, _visit(session, visit_id), because)


def add(session: Session, visit_id: UUID, seen: Seen, colony_id: UUID | None = None) -> Reading:
    """Write down one thing counted or seen on a visit, of one colony or of the yard's average.

    Errors
    ------
    RecordError
        If the visit or colony is not there or does not hold any more, or the unit or
        word does not fit the kind.
    """
    visit = _visit(session, visit_id)
    if not append_only.holds(session, visit):
        raise RecordError(
            "visit",
            say("it was corrected or withdrawn before"),
            say("a visit that holds now"),
            say("Take the newest one"),
        )
    if colony_id is not None:
        colony = session.get(Colony, colony_id)
        if colony is None or colony.yard_id != visit.yard_id:
            raise RecordError(
                "reading",
                say("colony {colony_id} is not in this yard", colony_id=colony_id),
                say("a colony of the yard"),
            )
    reading = Reading(visit_id=visit_id, colony_id=colony_id, **_columns(fitting(seen)))
    session.add(reading)
    session.flush()
    return reading


def correct(session: Session, reading_id: UUID, seen: Seen, because: str) -> Reading:
    """Put a corrected reading in the place of one; the history keeps both.

    Errors
    ------
    RecordError
        If there is none, it was corrected before, or the kind is another one.
    """
    old = _reading(session, reading_id)
    if seen.kind != old.kind:
        raise RecordError(
            "reading",
            say("{kind} cannot become {other}", kind=old.kind, other=seen.kind),
            say("the same kind"),
            say("Withdraw it"),
        )
    new = append_only.same_again(old, **_columns(fitting(seen)), because=because)
    return append_only.put_in_place(session, old, new)


def withdraw(session: Session, reading_id: UUID, because: str) -> Reading:
    """Say that a reading does not hold; it stays in the history."""
    return append_only.withdraw(session, _reading(session, reading_id), because)


def history(session: Session, reading_id: UUID) -> list[Reading]:
    """Every version of one reading, oldest first."""
    return append_only.history(session, _reading(session, reading_id))


def of_visit(session: Session, visit_id: UUID) -> list[Reading]:
    """The readings of a visit that hold now, in the order in which they were made."""
    return list(session.scalars(append_only.current(Reading).where(Reading.visit_id == visit_id)))


def visits(session: Session, yard_id: UUID, today: date) -> list[Visit]:
    """The visits to a yard up to a day that hold now, oldest first."""
    wanted = append_only.current(Visit).where(Visit.yard_id == yard_id, Visit.on <= today)
    return list(session.scalars(wanted.order_by(None).order_by(Visit.on, Visit.id)))


def newest_of_colonies(
    session: Session, yard_ids: Iterable[UUID], kind: Kind, today: date
) -> dict[UUID, tuple[float, date]]:
    """The newest number of a kind of each colony of some yards up to a day, and its day; by colony. [unit]"""
    wanted = append_only.current(Reading).join(Visit, Visit.id == Reading.visit_id)
    later = append_only.current(Visit).order_by(None).with_only_columns(Visit.id)
    wanted = wanted.where(
        Visit.yard_id.in_(list(yard_ids)), Visit.on <= today, Visit.id.in_(later), Reading.kind == kind,
        Reading.colony_id.is_not(None), Reading.value.is_not(None),
    )  # fmt: skip
    latest = (Visit.on.desc(), Visit.id.desc(), Reading.id.desc())
    place = func.row_number().over(partition_by=Reading.colony_id, order_by=latest).label("place")
    placed = wanted.order_by(None).with_only_columns(Reading.colony_id, Reading.value, Visit.on, place)
    of = placed.subquery()
    told = session.execute(select(of.c.colony_id, of.c.value, of.c.on).where(of.c.place == 1))
    return {key: (value, on) for key, value, on in told}


def add_colony(session: Session, yard_id: UUID, name: str) -> Colony:
    """Give a colony of a yard a name, so that readings can belong to it.

    Errors
    ------
    RecordError
        If there is no such yard, or the name cannot be kept.
    """
    storable(name, "colony, name")
    if session.get(YardRow, yard_id) is None:
        raise RecordError(
            "yard", say("there is no yard {yard_id}", yard_id=yard_id), say("a yard of this book")
        )
    colony = Colony(yard_id=yard_id, name=name)
    session.add(colony)
    session.flush()
    return colony


def colonies(session: Session, yard_id: UUID) -> list[Colony]:
    """The named colonies of a yard, in the order in which they were named."""
    return list(session.scalars(select(Colony).where(Colony.yard_id == yard_id).order_by(Colony.id)))


def fitting(seen: Seen) -> Seen:
    """The reading with its unit filled in.

    Errors
    ------
    RecordError
        If the kind is unknown, its unit or word does not fit, or a value cannot be kept.
    """
    if seen.kind not in get_args(Kind):
        raise RecordError(
            "reading",
            say("the kind is {kind!r}", kind=seen.kind),
            say("one of these: {names}", names=", ".join(get_args(Kind))),
        )
    units, words = UNITS.get(seen.kind, ("",)), WORDS.get(seen.kind)
    if not seen.unit and len(units) == 1:
        seen = replace(seen, unit=units[0])
    if seen.unit not in units:
        raise RecordError(
            seen.kind, say("the unit is {unit!r}", unit=seen.unit), " or ".join(units), say("Say which unit")
        )
    if words is not None and seen.word is not None and seen.word not in words:
        raise RecordError(seen.kind, say("it says {word!r}", word=seen.word), " or ".join(words))
    storable(seen, seen.kind)
    return seen


def _columns(seen: Seen) -> dict[str, object]:
    return {name: getattr(seen, name) for name in Seen.__dataclass_fields__}


def _visit(session: Session, visit_id: UUID) -> Visit:
    visit = session.get(Visit, visit_id)
    if visit is None:
        raise RecordError(
            "visit", say("there is no visit {visit_id}", visit_id=visit_id), say("a visit of this book")
        )
    return visit


def _reading(session: Session, reading_id: UUID) -> Reading:
    reading = session.get(Reading, reading_id)
    if reading is None:
        raise RecordError(
            "reading",
            say("there is no reading {reading_id}", reading_id=reading_id),
            say("a reading of this book"),
        )
    return reading
