"""What a book knows already that a sheet speaks of, and where the two do not agree."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import cast
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session, aliased

from breadline.jobs.sheet_fields import FIELDS, Holds
from breadline.jobs.sheet_places import country_fault
from breadline.jobs.sheet_read import Fault, Row, SheetAsked, Understood
from breadline.jobs.verdict_columns import plain
from breadline.language import say
from breadline.records import colonies, yards
from breadline.records.colonies import InRow
from breadline.records.field_before import SAME_FEED
from breadline.records.tables import Reading, Visit

NO_KIND = frozenset({"yard", "colony", "day", "looked_in"})
Key = tuple[UUID, UUID | None, date, str]  # yard, colony, day, kind


@dataclass(frozen=True)
class Known:
    """The yards of a book by their plain names, and their hives by tag."""

    yards: Mapping[str, UUID]
    yard_names: tuple[str, ...]
    hives: Mapping[UUID, Mapping[str, list[InRow]]]
    _named: dict[str, UUID | None] = field(default_factory=dict)  # the same few stand in thousands of rows

    def yard(self, name: str) -> UUID | None:
        """The yard of a name; None where there is none."""
        if name not in self._named:
            self._named[name] = self.yards.get(plain(name))
        return self._named[name]

    def hive(self, yard: UUID, tag: str, on: date | None) -> tuple[InRow | None, InRow | None]:
        """The hive of a tag that stood on a day; else the last one that stood before."""
        rows = self.hives.get(yard, {}).get(tag.casefold(), [])
        here = [one for one in rows if one.standing == "stands" or (on is not None and one.stood(on))]
        return (here[-1] if here else None), (rows[-1] if rows else None)


def known_of(session: Session, holds: Holds) -> Known:
    """What is known of yards and, where a sheet speaks of hives, of these."""
    listed = yards.yards(session)
    hives: dict[UUID, dict[str, list[InRow]]] = {}
    for row in listed if holds != "yards" else ():
        for one in colonies.in_rows(session, row.id):
            hives.setdefault(row.id, {}).setdefault(one.tag.casefold(), []).append(one)
    names = {plain(row.name) or row.name: row.id for row in listed}
    return Known(names, tuple(row.name for row in listed), hives)


def faults_against(
    session: Session, told: Understood, asked: SheetAsked, rows: Sequence[Row], book: Known
) -> tuple[list[Fault], list[str]]:
    """Where rows do not agree with one another or with the book; and hives that it does not know."""
    head = {key: told.heads[place] for place, key in told.columns.items()}
    if told.holds == "yards":
        return _of_yards(rows, book, head), []
    faults, new = [], dict[str, None]()
    seen: dict[tuple[object, ...], int] = {}
    sound = [row for row in rows if row.sound]
    before = _before(session, sound, book) if told.holds == "readings" else {}
    for row in rows:
        if "yard" not in row.values:
            continue  # a fault says so
        yard = book.yard(str(row.values["yard"]))
        if yard is None:
            faults.append(_no_yard(row, book, head))
            continue
        tag, on = str(row.values.get("colony", "")), _day(row)
        if row.sound and (twice := _twice(row, (yard, tag.casefold(), on), seen, head)):
            faults.append(twice)
        hive, gone = book.hive(yard, tag, on) if tag else (None, None)
        if tag and hive is None:
            if gone is not None:
                faults.append(_gone(row, gone, head))
            elif told.holds == "readings":
                new[f"{row.values['yard']} {tag}"] = None
                if asked.new_colonies is False:
                    faults.append(_no_hive(row, tag, head))
        if hive is not None or not tag:
            faults += _other_values(row, (yard, hive.id if hive else None), before, head)
    return faults, list(new)


def fed_by_hive(session: Session, rows: Sequence[Row], book: Known) -> list[Row]:
    """Rows that say what a yard was fed on average on a day on which the book says it hive by hive, and not
    just the same of each."""
    named = [row for row in rows if row.sound and row.values.get("put_on") and "colony" not in row.values]
    named = [row for row in named if book.yard(str(row.values.get("yard", ""))) is not None]
    each: dict[tuple[UUID, date], list[float]] = {}
    for (yard, colony, on, kind), (value, _) in _before(session, named, book).items():
        if kind == "put_on" and colony is not None and value:
            each.setdefault((yard, on), []).append(value)
    found = []
    for row in named:
        where, when = book.yard(str(row.values["yard"])), _day(row)
        there = each.get((where, when), []) if where is not None and when is not None else []
        if any(abs(value - float(cast(float, row.values["put_on"]))) > SAME_FEED for value in there):
            found.append(row)
    return found


def kinds_of(row: Row) -> dict[str, object]:
    """What a row of readings says, by the kind it is kept as."""
    own = {key: value for key, value in row.values.items() if key not in NO_KIND}
    if "put_on" in own and "colony" not in row.values:
        own["feed_given"] = own.pop("put_on")
    return dict(own)


def _of_yards(rows: Sequence[Row], book: Known, head: Mapping[str, str]) -> list[Fault]:
    faults: list[Fault] = []
    seen: dict[tuple[object, ...], int] = {}
    for row in rows:
        if (unknown := country_fault(row, head)) is not None:
            faults.append(unknown)
        if "name" not in row.values:
            continue  # a fault says so
        name = plain(str(row.values["name"])) or str(row.values["name"])
        if name in book.yards:
            what = say("there is a yard “{yard}” in the book, and it says otherwise", yard=row.values["name"])
            faults.append(
                Fault(row.line, head["name"], what, say("Leave the row out, or change the yard in the book"))
            )
        if twice := _twice(row, (name,), seen, head):
            faults.append(twice)
    return faults


def _twice(
    row: Row, key: tuple[object, ...], seen: dict[tuple[object, ...], int], head: Mapping[str, str]
) -> Fault | None:
    first = seen.setdefault(key, row.line)
    if first == row.line:
        return None
    column = head.get("colony") or head.get("name") or ""
    return Fault(row.line, column, say("it is of the same as row {first}", first=first),
                 say("If two hives wear the same tag, rename one; else leave one row out"))  # fmt: skip


def _no_yard(row: Row, book: Known, head: Mapping[str, str]) -> Fault:
    name = str(row.values["yard"])
    near = difflib.get_close_matches(name, book.yard_names, 1)
    do = (
        say("Is it {name}? Mend the name", name=near[0])
        if near
        else say("Bring the yards in first, or mend the name")
    )
    return Fault(row.line, head.get("yard", ""), say("there is no yard “{yard}” in the book", yard=name), do)


def _no_hive(row: Row, tag: str, head: Mapping[str, str]) -> Fault:
    return Fault(
        row.line, head.get("colony", ""), say("there is no hive {tag} in this yard", tag=tag),
        say("Mend the tag, or bring the colonies in first"),
    )  # fmt: skip


def _gone(row: Row, gone: InRow, head: Mapping[str, str]) -> Fault:
    standing = say(gone.standing)
    if gone.into:
        standing = say("{standing} into {tag}", standing=standing, tag=gone.into)
    return Fault(
        row.line, head.get("colony", ""),
        say("hive {tag} is written down as {standing} since {since}", tag=gone.tag, standing=standing,
            since=gone.since),
        say("Is it {tag}, or another hive? Mend the tag", tag=gone.into) if gone.into
        else say("Is it another hive? Mend it"),
    )  # fmt: skip


def _other_values(
    row: Row, of: tuple[UUID, UUID | None], before: Mapping[Key, tuple[float | None, str | None]],
    head: Mapping[str, str],
) -> list[Fault]:  # fmt: skip
    faults = []
    for kind, value in kinds_of(row).items():
        there = before.get((*of, _day(row) or date.min, kind))
        if there is None or kind == "note" or _same(there, value):
            continue
        said = there[1] if there[1] is not None else f"{there[0]:g}"
        column = head.get("put_on" if kind == "feed_given" else kind, "")
        faults.append(Fault(row.line, column, say("the book says {value} for this hive and day", value=said),
                            say("Correct it in the book, or leave the row out")))  # fmt: skip
    return faults


def _same(there: tuple[float | None, str | None], value: object) -> bool:
    if isinstance(value, str):
        return there[1] == value
    assert isinstance(value, int | float)
    return there[0] is not None and abs(there[0] - float(value)) < 1e-9


def _before(session: Session, rows: Sequence[Row], book: Known) -> dict[Key, tuple[float | None, str | None]]:
    """What the book holds of the days and yards of a sheet."""
    days = [on for row in rows if (on := _day(row)) is not None]
    keys = {key for row in rows if (key := book.yard(str(row.values["yard"]))) is not None}
    if not days or not keys:
        return {}
    later = aliased(Reading)
    wanted = (
        select(Visit.yard_id, Reading.colony_id, Visit.on, Reading.kind, Reading.value, Reading.word)
        .join(Visit, Visit.id == Reading.visit_id)
        .where(Visit.on.between(min(days), max(days)), Reading.withdrawn.is_(False))
        .where(~select(later.id).where(later.replaces == Reading.id).exists())
        .order_by(Reading.id)
    )
    return {
        (yard, colony, on, kind): (value, word)
        for yard, colony, on, kind, value, word in session.execute(wanted) if yard in keys
    }  # fmt: skip


def _day(row: Row) -> date | None:
    on = row.values.get("day")
    return on if isinstance(on, date) else None


def kept_kinds() -> set[str]:
    """The kinds of readings that a sheet can hold."""
    return {one.key for one in FIELDS["readings"]} - NO_KIND
