"""The rows of a book as tables for people: heads with units, and beside each key the name it stands for."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, LargeBinary, Table, select

from breadline.jobs.export_json import rows_of
from breadline.records.plain_rows import tables_kept
from breadline.records.units import head_of

Cell = str | int | float | bool | None
Names = Mapping[str, Mapping[str, tuple[Cell, ...]]]  # by column, by key: what it stands for
# column that holds a key → heads of what it stands for
NAMED: dict[str, tuple[str, ...]] = {
    "yard_id": ("yard",),
    "visit_id": ("yard", "day of the visit"),
    "colony_id": ("colony",),
    "recipe_id": ("recipe",),
    "trial_id": ("trial",),
    "plan_id": ("yard", "day of the plan"),
    "entry_id": ("yard", "day of the entry", "colony"),
    "into_id": ("merged into",),
}
OF_YARD = "colony_id of a yard"  # where no other key of the row leads to its yard


@dataclass(frozen=True)
class Sheet:
    """One table of a book: its name, its heads, its rows."""

    name: str
    heads: tuple[str, ...]
    rows: Iterator[list[Cell]]


@dataclass(frozen=True)
class KeptFile:
    """A file that was kept as it came."""

    name: str
    content: bytes


def sheets(connection: Connection) -> Iterator[Sheet]:
    """Every table that has rows, corrected and withdrawn ones marked; no bytes of kept files."""
    names = _names(connection)
    for table in tables_kept():
        if connection.execute(select(table.c.id).limit(1)).first() is not None:
            yield _sheet(connection, table, names)


def kept_files(connection: Connection) -> Iterator[KeptFile]:
    """The weather files as they came, named apart by their keys."""
    table = next(t for t in tables_kept() if t.name == "weather")
    for key, name in connection.execute(select(table.c.id, table.c.name).order_by(table.c.id)).all():
        content = connection.scalar(select(table.c.content).where(table.c.id == key))
        yield KeptFile(kept_name(str(key), name), bytes(content or b""))


def kept_name(key: str, name: str) -> str:
    """The name under which a kept file is taken out, whatever folder its own name leads to."""
    plain = "".join(c if c.isalnum() or c in "-_. " else "_" for c in name).lstrip(".")
    return f"{key}-{plain[-80:]}"


def _sheet(connection: Connection, table: Table, names: Names) -> Sheet:
    columns = [c.name for c in table.columns if not isinstance(c.type, LargeBinary)]
    known = _known(table.name, columns)
    marked = ["stands"] if "replaces" in table.columns else []
    files = ["file"] if table.name == "weather" else []
    heads = (
        [head for _, _, heads in known for head in heads] + marked + [head_of(table.name, c) for c in columns]
    )

    def rows() -> Iterator[list[Cell]]:
        for row in rows_of(connection, table):
            told: list[Cell] = []
            for column, of, its in known:
                told += names[of].get(str(row[column]), (None,) * len(its))
            told += [row[name] for name in marked]
            told += [_cell(row[name]) for name in columns]
            yield told + ([f"weather/{kept_name(row['id'], row['name'])}"] if files else [])

    return Sheet(table.name, tuple(_apart([*heads, *files])), rows())


def _known(table: str, columns: list[str]) -> list[tuple[str, str, tuple[str, ...]]]:
    """Columns with keys, of what they are, and the heads of what they stand for."""
    found = [("id", "yard_id", NAMED["yard_id"])] if table == "yard" else []
    for column in columns:
        if column == "colony_id" and not {"yard_id", "visit_id"} & set(columns):
            found.append((column, OF_YARD, ("yard", *NAMED[column])))
        elif column in NAMED:
            found.append((column, column, NAMED[column]))
    return found


def _cell(value: Any) -> Cell:
    if isinstance(value, date):
        return value.isoformat()
    return json.dumps(value, ensure_ascii=False) if isinstance(value, dict | list) else value


def _apart(heads: list[str]) -> list[str]:
    """No head twice: "yard", "yard 2"."""
    seen: dict[str, int] = {}
    found = []
    for head in heads:
        seen[head] = seen.get(head, 0) + 1
        found.append(head if seen[head] == 1 else f"{head} {seen[head]}")
    return found


def _names(connection: Connection) -> Names:
    tables = {table.name: table for table in tables_kept()}

    def read(table: str, *columns: str) -> list[Any]:
        t = tables[table]
        return [tuple(row) for row in connection.execute(select(*(t.c[c] for c in columns)).order_by(t.c.id))]

    yards: dict[str, tuple[Cell, ...]] = {str(k): (name,) for k, name in read("yard_fact", "yard_id", "name")}

    def in_yards(table: str, *columns: str) -> dict[str, tuple[Cell, ...]]:
        rows = read(table, "id", "yard_id", *columns)
        return {str(k): (*yards.get(str(yard), (None,)), *map(_cell, told)) for k, yard, *told in rows}

    named = {str(k): (name,) for k, name in read("colony", "id", "name")}
    named |= {str(k): (tag,) for k, tag in read("colony_fact", "colony_id", "tag")}
    return {
        "yard_id": yards,
        "visit_id": in_yards("visit", "on"),
        "colony_id": named,
        OF_YARD: {key: (*yard, *named[key]) for key, yard in in_yards("colony").items()},
        "into_id": named,
        "recipe_id": {str(k): (name,) for k, name in read("recipe", "id", "name")},
        "trial_id": {str(k): (name,) for k, name in read("trial", "id", "name")},
        "plan_id": in_yards("plan", "chosen_on"),
        "entry_id": in_yards("field_entry", "on", "tag"),
    }
