"""Operations and yards: written down as facts, read back as the yard that the answer needs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.need.fit.season_counts import Look
from breadline.need.words import day_and_year
from breadline.need.yard import Count, Inspection, Yard
from breadline.records import readings, yard_readings, yard_rows
from breadline.records.append_only import current, history, put_in_place, withdraw
from breadline.records.no_bees import hives_without_bees
from breadline.records.storable import storable
from breadline.records.tables import BloomRow, Operation, Reading, Visit, YardFact, YardRow
from breadline.records.yard_readings import ByVisit, Rows


@dataclass(frozen=True)
class Listed:
    """A yard in a list."""

    id: UUID
    operation_id: UUID
    name: str
    colonies: int
    kept_for: str
    latitude: float  # north of the equator, negative south of it [°]
    looked_on: date | None  # day of the last visit


def add_operation(session: Session, name: str) -> Operation:
    """Open the book of one keeper or firm."""
    storable(name, "operation, name")
    operation = Operation(name=name)
    session.add(operation)
    session.flush()
    return operation


def operations(session: Session) -> list[Operation]:
    """All operations, oldest first."""
    return list(session.scalars(select(Operation).order_by(Operation.id)))


def add_yard(session: Session, yard: Yard, operation_id: UUID | None = None) -> UUID:
    """Write a yard down for the first time; its key.

    Without ``operation_id`` it belongs to the only operation, which is made if
    there is none.

    Errors
    ------
    RecordError
        If the count is later than the yard's day, a number is not finite, or
        there are several operations to choose from.
    """
    storable_yard(yard)
    row = YardRow(operation_id=_operation(session, operation_id).id)
    session.add(row)
    session.flush()
    session.add(yard_rows.fact_of(yard, row.id))
    session.flush()
    _add_bloom(session, row.id, yard)
    _add_visits(session, row.id, yard)
    return row.id


def say_again(session: Session, yard_id: UUID, yard: Yard, because: str = "") -> None:
    """Write down a yard that is known already as it stands today.

    Its lasting facts and bloom take the place of the old ones where they differ; a new count and what is
    seen make new visits; feed is added if it is not there yet. An inspection by the same reader on the
    same day, but with other numbers, takes the place of the old one. What the new
    yard does not know stays as it was last known; to take a reading back, withdraw it.

    Errors
    ------
    RecordError
        As for :func:`add_yard`, or if there is no such yard.
    """
    storable_yard(yard)
    known = _known(session, yard_id, yard.today)
    if yard == known:
        return
    new, old = yard_rows.fact_of(yard, yard_id), fact(session, yard_id)
    if any(getattr(new, c) != getattr(old, c) for c in _LASTING):
        new.because = because
        put_in_place(session, old, new)
    if yard.bloom != tuple(yard_rows.bloom_from(row) for row in _bloom(session, yard_id)):
        for row in _bloom(session, yard_id):
            withdraw(session, row, because)
        _add_bloom(session, yard_id, yard)
    _withdraw_mended(session, yard_id, yard, because)
    _add_visits(session, yard_id, yard)


def withdraw_yard(session: Session, yard_id: UUID, because: str) -> None:
    """Take a yard off the list; all that was written down of it stays in the file."""
    withdraw(session, fact(session, yard_id), because)


def yards(session: Session, operation_id: UUID | None = None) -> list[Listed]:
    """The yards on the list, oldest first."""
    wanted = (
        current(YardFact).join(YardRow, YardRow.id == YardFact.yard_id).order_by(None).order_by(YardRow.id)
    )
    if operation_id is not None:
        wanted = wanted.where(YardRow.operation_id == operation_id)
    looked = current(Visit).order_by(None).with_only_columns(Visit.yard_id, func.max(Visit.on))
    newest = {row[0]: row[1] for row in session.execute(looked.group_by(Visit.yard_id))}
    rows = session.execute(wanted.add_columns(YardRow.operation_id))
    return [
        Listed(f.yard_id, owner, f.name, f.colonies, f.kept_for, f.latitude, newest.get(f.yard_id))
        for f, owner in rows
    ]


def fact(session: Session, yard_id: UUID) -> YardFact:
    """What lasts of a yard, as it holds now.

    Errors
    ------
    RecordError
        If there is no such yard on the list.
    """
    row = session.scalar(current(YardFact).where(YardFact.yard_id == yard_id))
    if row is None:
        raise RecordError(
            "yard",
            say("there is no yard {yard_id}", yard_id=yard_id),
            say("a yard on the list"),
            say("See the list of yards"),
        )
    return row


def fact_history(session: Session, yard_id: UUID) -> list[YardFact]:
    """Every version of what lasts of a yard, oldest first."""
    return history(session, fact(session, yard_id))


def yard_as_known(session: Session, yard_id: UUID, today: date) -> Yard:
    """The yard as the entries that hold now describe it on ``today``.

    The count is the last one with bread in it; what was counted on later visits are inspections. Health
    is the newest word on each thing, however old; pollen coming in, arcs and air temperature are those of
    the last visit only on which a yard was looked at, with its day where it was not today. Hives counted
    one by one count as their average: the answer is for the yard's average colony.

    Errors
    ------
    RecordError
        If there is no such yard, or no count of bread up to that day.
    """
    return known_and_before(session, yard_id, today)[0]


def newest_count(session: Session, yard_id: UUID, today: date) -> Count | None:
    """The count of ``yard_as_known`` alone; None where there is none yet.

    Errors
    ------
    RecordError
        If there is no such yard.
    """
    fact(session, yard_id)
    rows = yard_readings.by_visit(session, yard_id, today)
    counts = _begun_at(rows)
    return yard_rows.count_from(*rows[counts[-1]]) if counts else None


def known_and_before(session: Session, yard_id: UUID, today: date) -> tuple[Yard, tuple[Look, ...]]:
    """``yard_as_known`` and ``looks_before``, from the same rows read once.

    Errors
    ------
    RecordError
        If there is no such yard, or no count of bread up to that day.
    """
    lasting, found = fact(session, yard_id), yard_readings.of_yard(session, yard_id)
    rows = yard_readings.by_visit(session, yard_id, today, found)
    return _as_known(session, lasting, today, rows, found), _looks_before(rows)


def _as_known(session: Session, lasting: YardFact, today: date, rows: ByVisit, found: Rows) -> Yard:
    yard_id = lasting.yard_id
    counts = [rows[n] for n in _begun_at(rows)]
    if not counts:
        raise RecordError(
            lasting.name,
            _no_count(session, yard_id, today),
            say("one look into a hive"),
            say("Enter the bread you saw"),
        )
    newest = {kind: reading for _, kinds in rows for kind, reading in kinds.items()}
    since = rows[rows.index(counts[-1]) + 1 :]
    more = {
        "inspections": tuple(yard_rows.inspection_from(*one) for one in since if _tells(*one)),
        "fed_without_record": any("fed_without_record" in kinds for _, kinds in [counts[-1], *since]),
        "bloom": tuple(yard_rows.bloom_from(row) for row in _bloom(session, yard_id)),
        "given": yard_rows.given_from(yard_readings.fed(session, yard_id, found)),
    }
    count, health = yard_rows.count_from(*counts[-1]), yard_rows.health_from(newest)
    visit, kinds = next(
        (one for one in reversed(rows) if not yard_rows.hive_by_hive(one[0]) or _FORAGE & one[1].keys()),
        rows[-1],
    )
    forage = yard_rows.forage_from(kinds, lasting)
    if visit.on != today:
        forage = replace(forage, seen_on=visit.on)
    return yard_rows.yard_from(lasting, today, count, health, forage, more)


def counted_on(session: Session, today: date) -> dict[UUID, date]:
    """The day of the newest look that counted bread, by yard; without one a yard is not there.

    A season begins at a count of bread; what a sheet or a phone told later may begin the next one.
    """
    whole = Reading.colony_id.is_(None) | (Visit.note == yard_rows.FROM_PHONE)
    whole |= Visit.note.startswith(yard_rows.FROM_SHEET, autoescape=True)
    wanted = current(Visit).where(Visit.on <= today, whole, Reading.kind == "bread")
    held = current(Reading).order_by(None).with_only_columns(Reading.id)
    wanted = wanted.join(Reading, Reading.visit_id == Visit.id).where(Reading.id.in_(held)).order_by(None)
    rows = session.execute(
        wanted.with_only_columns(Visit.yard_id, func.max(Visit.on)).group_by(Visit.yard_id)
    )
    return {row[0]: row[1] for row in rows}


def looks_before(session: Session, yard_id: UUID, today: date) -> tuple[Look, ...]:
    """The visits before the newest count up to a day, oldest first."""
    return _looks_before(yard_readings.by_visit(session, yard_id, today))


def _looks_before(rows: ByVisit) -> tuple[Look, ...]:
    counts = _begun_at(rows)
    found = []
    for visit, kinds in rows[: counts[-1]] if counts else []:
        unrecorded = "fed_without_record" in kinds
        seen: Count | Inspection | None = None
        if _tells(visit, kinds):
            seen = yard_rows.inspection_from(visit, kinds)
        elif _begins(visit, kinds):
            seen = yard_rows.count_from(visit, kinds)
        found.append(Look(visit.on, seen, unrecorded))
    return tuple(found)


def storable_yard(yard: Yard) -> None:
    """Refuse a yard that the book could not give back as it is.

    Errors
    ------
    RecordError
        If the count is later than the yard's day, or a value cannot be kept.
    """
    storable(yard, "yard")
    if yard.count.on > yard.today:
        raise RecordError(
            f"{yard.name}, count",
            say("{on} is later than {today}", on=yard.count.on, today=yard.today),
            say("a day up to today"),
            say("Mend it"),
        )


_FORAGE = {"pollen_seen", "fresh_arcs", "outside_c"}
_COUNTED = {"frames_of_bees", "frames_of_brood", "bread"}  # what an inspection tells of the average colony
_LASTING = [
    c.key for c in YardFact.__table__.columns
    if c.key not in {"id", "made_at", "replaces", "withdrawn", "because"}
]  # fmt: skip


def _operation(session: Session, operation_id: UUID | None) -> Operation:
    known = operations(session)
    if operation_id is None and not known:
        return add_operation(session, "")
    found = [one for one in known if operation_id in (None, one.id)]
    if len(found) != 1:
        raise RecordError(
            "operation",
            say("{found} operations fit", found=len(found)),
            say("one"),
            say("Say whose yard it is"),
        )
    return found[0]


def _add_bloom(session: Session, yard_id: UUID, yard: Yard) -> None:
    session.add_all(yard_rows.bloom_of(bloom, yard_id, n) for n, bloom in enumerate(yard.bloom))
    session.flush()


def _known(session: Session, yard_id: UUID, today: date) -> Yard | None:
    """The yard as known, None where it has no count of bread yet."""
    lasting = fact(session, yard_id)
    rows = yard_readings.by_visit(session, lasting.yard_id, today)
    return yard_as_known(session, yard_id, today) if _begun_at(rows) else None


def _add_visits(session: Session, yard_id: UUID, yard: Yard) -> None:
    here, known = None, yard_readings.by_visit(session, yard_id, yard.today)
    if yard.count not in [yard_rows.count_from(*one) for one in known if _begins(*one)]:
        here = readings.add_visit(session, yard_id, yard_rows.look_of(yard.count))
        for seen in yard_rows.counted(yard.count):
            readings.add(session, here.id, seen)
    kept = Counter(_inspected(yard, *one) for one in known if _inspects(one[0]))
    for one in yard.inspections:
        written = yard_rows.written_down(one, yard.count)
        if kept[written] > 0:
            kept[written] -= 1
            continue
        look, counted = yard_rows.inspected(one, yard.count)
        visit = readings.add_visit(session, yard_id, look)
        for seen in counted:
            readings.add(session, visit.id, seen)
        here = None  # what is seen today belongs to the last visit
    if here is None or here.on != yard.today:
        here = readings.add_visit(session, yard_id, readings.Look(yard.today))
    for seen in [*yard_rows.seen_today(yard), *_fed_since(session, yard_id, yard)]:
        readings.add(session, here.id, seen)


def _withdraw_mended(session: Session, yard_id: UUID, yard: Yard, because: str) -> None:
    """Take back inspections that the yard now tells otherwise, of the same day and reader."""
    told = [yard_rows.written_down(one, yard.count) for one in yard.inspections]
    looks = {(one.on, one.reader) for one in told}
    for visit, kinds in yard_readings.by_visit(session, yard_id, yard.today):
        if not _inspects(visit):
            continue
        was = _inspected(yard, visit, kinds)
        if (was.on, was.reader) in looks and was not in told:
            readings.withdraw_visit(session, visit.id, because)


def _inspected(yard: Yard, visit: Visit, kinds: Mapping[str, Reading]) -> Inspection:
    """A kept inspection as the yard would tell it: a phone says nothing of a frame that is the count's."""
    return yard_rows.written_down(yard_rows.inspection_from(visit, kinds), yard.count)


def _no_count(session: Session, yard_id: UUID, today: date) -> str:
    on = day_and_year(today)
    empty = ", ".join(tag for tag, _ in hives_without_bees(session, yard_id, today))
    if empty:
        return say(
            "no count of bread in a hive with bees up to {day}; without bees: {hives}", day=on, hives=empty
        )
    return say("no count of bread up to {day_and_year}", day_and_year=on)


def _begun_at(rows: ByVisit) -> list[int]:
    """Places of the counts that a season can begin from; without one, of the first look that told bread.

    So it is where the only count was taken back, or had no hive with bees, and others came after it.
    """
    begun = [n for n, one in enumerate(rows) if _begins(*one)]
    return begun or [n for n, (_, kinds) in enumerate(rows) if "bread" in kinds][:1]


def _begins(visit: Visit, kinds: Mapping[str, Reading]) -> bool:
    """Whether a visit holds a count that a season can begin from."""
    return "bread" in kinds and not _inspects(visit)


def _inspects(visit: Visit) -> bool:
    return visit.start == yard_rows.INSPECTION


def _tells(visit: Visit, kinds: Mapping[str, Reading]) -> bool:
    """Whether an inspection says anything of the average colony: one of hives without bees alone does not."""
    return _inspects(visit) and not _COUNTED.isdisjoint(kinds)


def _fed_since(session: Session, yard_id: UUID, yard: Yard) -> list[readings.Seen]:
    """Feed of the yard that is not in the book yet; two equal portions on one day are two."""
    known = Counter(yard_rows.given_from(yard_readings.fed(session, yard_id)))
    fresh = []
    for given in yard.given:
        if known[given] > 0:
            known[given] -= 1
        else:
            fresh.append(yard_rows.given_seen(given))
    return fresh


def _bloom(session: Session, yard_id: UUID) -> list[BloomRow]:
    wanted = current(BloomRow).where(BloomRow.yard_id == yard_id)
    return list(session.scalars(wanted.order_by(None).order_by(BloomRow.position, BloomRow.id)))
