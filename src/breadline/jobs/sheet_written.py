"""The rows of a sheet as entries of the book."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any, cast
from uuid import UUID

from sqlalchemy import Table
from sqlalchemy.orm import Session

from breadline.jobs.sheet_known import Known, kinds_of
from breadline.jobs.sheet_places import country_of, region_of
from breadline.jobs.sheet_read import Row, SheetAsked, Understood
from breadline.records import colonies, yards
from breadline.records.append_only import Base, current
from breadline.records.bulk import add_rows
from breadline.records.field_tables import ColonyFact
from breadline.records.ids import new_id, new_ids
from breadline.records.readings import UNITS
from breadline.records.storable import storable
from breadline.records.tables import Colony, Reading, Visit, YardFact, YardRow
from breadline.records.times import now
from breadline.records.yard_rows import FROM_SHEET, INSPECTION

READING = ("id", "visit_id", "colony_id", "kind", "value", "word", "unit", "note", "definition", "on")
VISIT = ("id", "yard_id", "on", "start", "colonies_looked_in")


def written(
    session: Session, told: Understood, asked: SheetAsked, rows: Sequence[Row], book: Known
) -> dict[str, int]:
    """Write rows down; how many yards, colonies, visits and readings were made."""
    if told.holds == "yards":
        return {"yards": _yards(session, rows)}
    if told.holds == "colonies":
        return {"colonies": _colonies(session, rows, book)}
    return _readings(session, told, asked, rows, book)


def _yards(session: Session, rows: Sequence[Row]) -> int:
    known = yards.operations(session)
    owner = known[0] if known else yards.add_operation(session, "")
    for row in rows:
        told = dict(row.values)
        storable(tuple(v for v in told.values() if isinstance(v, str | int | float)), f"row {row.line}")
        yard = YardRow(operation_id=owner.id)
        session.add(yard)
        session.flush()
        session.add(
            YardFact(
                yard_id=yard.id, name=str(told["name"]), latitude=told["latitude"],
                longitude=told.get("longitude"), country=country_of(str(told.get("country", ""))),
                region=region_of(str(told.get("region", ""))), colonies=told["colonies"],
                colonies_in_flight_range=told.get("colonies_in_flight_range"), kept_for="trade",
                wants_feed_because="", notes=_notes(told),
            )
        )  # fmt: skip
    session.flush()
    return len(rows)


def _notes(told: Mapping[str, Any]) -> list[str]:
    """What has no place of its own: a region that is no calendar's."""
    region = str(told.get("region", "")).strip()
    return [f"region: {region}"] if region and region_of(region) is None else []


def _colonies(session: Session, rows: Sequence[Row], book: Known) -> int:
    made = 0
    for row in rows:
        yard = _yard(row, book)
        tag = str(row.values["colony"])
        made += book.hive(yard, tag, None)[0] is None
        walk = row.values.get("walk")
        colonies.place_colony(
            session, yard, tag, str(row.values.get("place", "")), None if walk is None else int(str(walk))
        )
    return made


def _readings(
    session: Session, told: Understood, asked: SheetAsked, rows: Sequence[Row], book: Known
) -> dict[str, int]:
    moment = now()
    hives = _hives(session, rows, book, moment)
    note = f"{FROM_SHEET}{told.cells.name}"
    storable(note, "file name")
    counted = _counted(session)
    made: dict[tuple[UUID, date], list[Any]] = {}  # visits
    readings: list[list[Any]] = []
    for row in sorted(rows, key=lambda one: cast(date, one.values["day"])):
        if not kinds_of(row):
            continue  # all it said is told hive by hive
        yard, on = _yard(row, book), row.values["day"]
        assert isinstance(on, date)
        start = INSPECTION if yard in counted else None
        visit = made.setdefault((yard, on), [new_id(), yard, on, start, None])
        visit[-1] = row.values.get("looked_in", visit[-1])
        readings += _of_row(row, visit[0], hives.get(row.line), asked)
        if "bread" in row.values:
            counted.add(yard)
    same: dict[str, Any] = {"made_at": moment, "withdrawn": False, "because": ""}
    add_rows(session, table_of(Visit), VISIT, list(made.values()), note=note, **same)
    for key, one in zip(new_ids(len(readings)), readings, strict=True):
        one[0] = key
    add_rows(session, table_of(Reading), READING, readings, **same)
    return {"colonies": _new_hives(hives, book), "visits": len(made), "readings": len(readings)}


def _counted(session: Session) -> set[UUID]:
    """The yards with a count of bread, from which a season can begin."""
    wanted = current(Reading).join(Visit, Visit.id == Reading.visit_id).order_by(None)
    return set(
        session.scalars(wanted.where(Reading.kind == "bread").with_only_columns(Visit.yard_id).distinct())
    )


def _of_row(row: Row, visit: UUID, colony: UUID | None, asked: SheetAsked) -> list[list[Any]]:
    """The readings of a row as ``READING`` has them, their keys still open."""
    found: list[list[Any]] = []
    for kind, value in kinds_of(row).items():
        number, word, unit, note, means, on = None, None, "", "", None, None
        if kind == "note":
            storable(str(value), f"row {row.line}, note")
            note = str(value)
        elif isinstance(value, str):
            word = value
        else:
            number = float(value)  # type: ignore[arg-type]  # a number or a truth, by its field
            unit = asked.units["bread"] if kind == "bread" else UNITS[kind][0]
        if kind == "frames_of_bees":
            means = asked.units["frames_of_bees"]
        elif kind in ("feed_given", "mites_per_100"):
            on = row.values["day"]
        found.append([None, visit, colony, kind, number, word, unit, note, means, on])
    return found


def _hives(session: Session, rows: Sequence[Row], book: Known, moment: datetime) -> dict[int, UUID]:
    """The hive of each row by its line; those that are new are written down."""
    found: dict[int, UUID] = {}
    fresh: dict[tuple[UUID, str], UUID] = {}
    named: list[list[Any]] = []
    facts: list[list[Any]] = []
    for row in rows:
        tag = str(row.values.get("colony", ""))
        if not tag:
            continue
        yard, on = _yard(row, book), row.values["day"]
        assert isinstance(on, date)
        hive, _ = book.hive(yard, tag, on)
        key = hive.id if hive else fresh.get((yard, tag.casefold()))
        if key is None:
            storable(tag, f"row {row.line}, colony")
            key = fresh[yard, tag.casefold()] = new_id()
            named.append([key, yard, tag])
            facts.append([new_id(), key, tag])
        found[row.line] = key
    add_rows(session, table_of(Colony), ("id", "yard_id", "name"), named, made_at=moment)
    add_rows(session, table_of(ColonyFact), ("id", "colony_id", "tag"), facts, made_at=moment, place="",
             standing="stands", withdrawn=False, because="")  # fmt: skip
    return found


def _yard(row: Row, book: Known) -> UUID:
    """The yard of a row that was held against the book."""
    found = book.yard(str(row.values["yard"]))
    assert found is not None
    return found


def _new_hives(hives: Mapping[int, UUID], book: Known) -> int:
    known = {one.id for each in book.hives.values() for rows in each.values() for one in rows}
    return len(set(hives.values()) - known)


def table_of(kind: type[Base]) -> Table:
    """The table of a kind of rows."""
    return cast(Table, kind.__table__)
