"""Entries that cannot be what was written: values of another kind, histories that fork or run in a ring."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

from sqlalchemy import JSON, Boolean, Date, Double, FromClause, Integer, LargeBinary, String, Uuid
from sqlalchemy.types import TypeEngine

from breadline.language import noted, say, say_counted
from breadline.records.times import UtcTime

# what must hold of a value of each type; {c} is the column. SQLite keeps any kind of value in any column.
_HOLDS: tuple[tuple[type[TypeEngine[Any]] | type[UtcTime], str, str], ...] = (
    (
        UtcTime,
        "a moment",
        "strftime('%Y-%m-%d %H:%M:%S', substr({c}, 1, 19), '+0 days') IS substr({c}, 1, 19)",
    ),
    (Date, noted("day"), "typeof({c}) = 'text' AND date({c}, '+0 days') IS {c}"),
    (Uuid, noted("key"), "typeof({c}) = 'text' AND length({c}) = 32 AND {c} NOT GLOB '*[^0-9a-f]*'"),
    (Boolean, noted("yes or no"), "{c} IN (0, 1)"),
    (Integer, noted("whole number"), "typeof({c}) = 'integer'"),
    (Double, noted("number"), "typeof({c}) IN ('real', 'integer')"),
    (JSON, noted("list or object"), "typeof({c}) = 'text' AND json_valid({c})"),
    (LargeBinary, noted("bytes"), "typeof({c}) = 'blob'"),
    (String, noted("text"), "typeof({c}) = 'text'"),
)
_OWNERS = ("yard_id", "kind", "trial_id", "tag", "figure", "name", "frozen_id")  # stay along a history
_MAY_CHANGE = {
    "yard_fact": {"name"},
    "trial": {"name"},
    "bloom": {"name"},
    "belief_update": {"name"},
    "colony_fact": {"tag"},
}


def misshapen(connection: sqlite3.Connection, table: FromClause) -> Iterator[tuple[str, str]]:
    """Where and what: columns of a table that hold values of another kind than they should."""
    name = str(table.name)  # type: ignore[attr-defined]
    for column in table.columns:
        kind = next((one for one in _HOLDS if isinstance(column.type, one[0])), None)
        if kind is None:
            continue
        quoted = f'"{column.name}"'
        null = f"{quoted} IS NOT NULL AND " if column.nullable else ""
        wrong = f"{null}NOT coalesce({kind[2].format(c=quoted)}, 0)"
        count, first = connection.execute(
            f'SELECT count(*), min("id") FROM "{name}" WHERE {wrong}'
        ).fetchone()
        if count:
            said = say_counted(
                "{n} entry has no {kind} as “{column}” (the first is {first})",
                "{n} entries have no {kind} as “{column}” (the first is {first})",
                count, n=f"{count:,}", column=column.name, kind=say(kind[1]), first=first,
            )  # fmt: skip
            yield name.replace("_", " "), said


def broken_histories(connection: sqlite3.Connection, table: str) -> Iterator[tuple[str, str]]:
    """Where and what: entries replaced twice, by another thing's entry, or in a ring."""
    said = table.replace("_", " ")
    for broken in (_forks, _of_another, _in_a_ring):
        for what in broken(connection, table):
            yield said, what


def _forks(connection: sqlite3.Connection, table: str) -> Iterator[str]:
    twice = connection.execute(
        f'SELECT replaces, count(*) FROM "{table}" WHERE replaces IS NOT NULL GROUP BY 1 HAVING count(*) > 1'
    ).fetchall()
    for key, count in twice:
        yield say("entry {key} was replaced {n} times: its history forks", key=key, n=count)


def _of_another(connection: sqlite3.Connection, table: str) -> Iterator[str]:
    """Entries that take the place of one of another yard, visit or the like."""
    columns = {row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')}
    for owner in _OWNERS:
        if owner not in columns or owner in _MAY_CHANGE.get(table, ()):
            continue
        strange = connection.execute(
            f'SELECT new.id FROM "{table}" new JOIN "{table}" old ON new.replaces = old.id '
            f"WHERE new.{owner} IS NOT old.{owner}"
        ).fetchall()
        of = owner.removesuffix("_id")
        for (key,) in strange:
            yield say("entry {key} takes the place of one of another {owner}", key=key, owner=of)


def _in_a_ring(connection: sqlite3.Connection, table: str) -> Iterator[str]:
    before = dict(
        connection.execute(f'SELECT id, replaces FROM "{table}" WHERE replaces IS NOT NULL').fetchall()
    )
    if rings := _rings(before):
        keys = ", ".join(rings[:5])
        yield say("entries replace one another in a ring, so none of them holds ({keys})", keys=keys)


def _rings(before: dict[str, str]) -> list[str]:
    """Keys from which a history never comes to its first entry."""
    ends: dict[str | None, bool] = {}  # whether the line of a key has a beginning
    for key in before:
        line: dict[str, None] = {}
        here: str | None = key
        while here is not None and here in before and here not in ends and here not in line:
            line[here] = None
            here = before[here]
        ok = ends.get(here, here is None or here not in before)
        ends |= dict.fromkeys(line, ok)
    return [key for key, ok in ends.items() if key is not None and not ok]
