"""Every row of a book as plain JSON values, and plain JSON values as rows again, in either database."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import (
    JSON,
    Boolean,
    Column,
    Connection,
    Date,
    Double,
    Integer,
    LargeBinary,
    String,
    Table,
    Uuid,
    insert,
    select,
)

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.append_only import Base
from breadline.records.tables import KEPT
from breadline.records.times import UtcTime

Plain = dict[str, Any]
AT_ONCE = 5_000  # rows


def tables_kept() -> list[Table]:
    """The tables of a book, each after those that it names."""
    assert KEPT  # importing the tables fills the metadata
    return list(Base.metadata.sorted_tables)


def plain_rows(connection: Connection, table: Table, columns: Sequence[str] | None = None) -> Iterator[Plain]:
    """The rows of a table in the order of their keys, corrected and withdrawn ones too."""
    wanted = [c for c in table.columns if columns is None or c.name in columns]
    how = [(c.name, _writer(c)) for c in wanted]
    found = connection.execution_options(yield_per=AT_ONCE).execute(select(*wanted).order_by(table.c.id))
    for row in found:
        yield {name: None if v is None else write(v) for (name, write), v in zip(how, row, strict=True)}


def put_back(connection: Connection, table: Table, rows: Iterable[Plain], where: str) -> int:
    """Write plain rows down as they are, each after the one that it names; how many they were.

    Errors
    ------
    RecordError
        With the number of the row, if a value is of another kind than its column, or a
        row names one of its table that is not there.
    """
    own = [key.parent.name for key in table.foreign_keys if key.column.table is table]
    how = {c.name: _reader(c) for c in table.columns}
    made = []
    for number, row in enumerate(rows, 1):
        if not isinstance(row, dict) or "id" not in row:
            raise RecordError(
                f"{where}, {table.name}, row {number}", say("it is no row"), say("an object with its id")
            )
        try:
            told = {k: None if v is None else how[k](v) for k, v in row.items() if k != "stands"}
        except (ValueError, TypeError, KeyError) as fault:
            raise RecordError(
                f"{where}, {table.name}, row {number}",
                say("a value does not fit its column ({fault})", fault=fault),
                say("an export of this program, unchanged"),
                say("Take it out again"),
            ) from fault
        made.append(told)
    for start in range(0, len(made), AT_ONCE):
        part = made[start : start + AT_ONCE]
        if start == 0 and own:
            made = part = _in_order(made, own, f"{where}, {table.name}")
            part = made[:AT_ONCE]
        connection.execute(insert(table), part)
    return len(made)


class Digest:
    """A digest over rows in the order of their keys; the same for the same rows in every database."""

    def __init__(self) -> None:
        self._of = hashlib.sha256()

    def table(self, name: str) -> None:
        """The rows that follow are of this table."""
        self._of.update(f"{name}\n".encode())

    def row(self, row: Mapping[str, Any]) -> None:
        """One row; what is worked out from others is no part of it."""
        told = {key: value for key, value in row.items() if key != "stands"}
        self._of.update(json.dumps(told, sort_keys=True, separators=(",", ":")).encode())

    def hex(self) -> str:
        """The digest so far."""
        return self._of.hexdigest()


def _in_order(rows: list[Plain], own: Sequence[str], where: str) -> list[Plain]:
    """Rows after those of their own table that they name: a phone's clock may have run ahead."""
    placed: set[UUID] = set()
    ordered: list[Plain] = []
    waiting = rows
    while waiting:
        left = []
        for row in waiting:
            if all(row.get(name) is None or row[name] in placed or row[name] == row["id"] for name in own):
                ordered.append(row)
                placed.add(row["id"])
            else:
                left.append(row)
        if len(left) == len(waiting):
            raise RecordError(
                where, say("{left} rows name one that is not there", left=len(left)), say("a whole export")
            )
        waiting = left
    return ordered


def _writer(column: Column[Any]) -> Any:
    kind = column.type
    if isinstance(kind, UtcTime):
        return lambda v: v.isoformat().replace("+00:00", "Z")
    if isinstance(kind, Date):
        return lambda v: v.isoformat()
    if isinstance(kind, Uuid):
        return str
    if isinstance(kind, LargeBinary):
        return lambda v: base64.b64encode(v).decode()
    return lambda v: v


def _reader(column: Column[Any]) -> Any:
    kind = column.type
    plain: tuple[tuple[type[Any], Any], ...] = (
        (UtcTime, lambda v: datetime.fromisoformat(_text(v))),
        (Date, lambda v: date.fromisoformat(_text(v))),
        (Uuid, lambda v: UUID(_text(v))),
        (LargeBinary, lambda v: base64.b64decode(_text(v), validate=True)),
        (Boolean, _truth),
        (Integer, _whole),
        (Double, _number),
        (String, _text),
        (JSON, lambda v: v),
    )
    return next(read for one, read in plain if isinstance(kind, one))


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(f"{value!r} is no text")
    return value


def _truth(value: Any) -> bool:
    if not isinstance(value, bool):
        raise TypeError(f"{value!r} is neither true nor false")
    return value


def _whole(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise TypeError(f"{value!r} is no whole number")
    return value


def _number(value: Any) -> float:
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise TypeError(f"{value!r} is no number")
    return float(value)
