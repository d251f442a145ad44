"""Many rows of one table in one statement: what SQLAlchemy does for each row is done once for all."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Any

from sqlalchemy import Connection, Table, insert
from sqlalchemy.orm import Session

from breadline.going_on import still_wanted

AT_ONCE = 20_000  # rows
MANY = 500  # rows, from which on it is worth a statement of its own
VARIABLES = 990  # of one statement: every SQLite takes 999


def add_rows(
    session: Session, table: Table, columns: Sequence[str], rows: Sequence[Sequence[Any]], **same: Any
) -> None:
    """Write rows down; ``columns`` are those in which they differ, ``same`` the values of all.

    A column is then looked up once and not for every row: of 300,000 readings this takes a third.
    """
    if not rows:
        return
    session.flush()
    connection = session.connection()
    dialect = connection.dialect
    names = [*columns, *same]
    kinds = [table.c[name].type.dialect_impl(dialect) for name in names]
    bind = [kind.bind_processor(dialect) for kind in kinds]
    fixed = tuple(b(v) if b else v for b, v in zip(bind[len(columns) :], same.values(), strict=True))
    for start in range(0, len(rows), AT_ONCE):
        still_wanted()
        parts: list[Sequence[Any]] = list(zip(*rows[start : start + AT_ONCE], strict=True))
        for place, b in enumerate(bind[: len(columns)]):
            if b is not None:
                parts[place] = list(map(b, parts[place]))
        told = list(zip(*parts, strict=True))
        if dialect.name == "sqlite":
            _many_a_statement(connection, table, names, told, fixed)
        else:
            statement = str(insert(table).compile(dialect=dialect, column_keys=names))
            by_name = [dict(zip(names, (*row, *fixed), strict=True)) for row in told]
            connection.exec_driver_sql(statement, by_name)


def _many_a_statement(
    connection: Connection, table: Table, names: Sequence[str], told: Sequence[tuple[Any, ...]],
    fixed: tuple[Any, ...],
) -> None:  # fmt: skip
    """Some dozens of rows in each statement, the values of all of them given once.

    With a guard on the table SQLite keeps the pages of a statement until it is done, so that it can be
    undone: with a row in each this takes more than half of the time.
    """
    width, known = len(told[0]), len(fixed)
    rows = max(1, (VARIABLES - known) // width) if len(told) >= MANY else 1
    whole = len(told) // rows * rows
    quoted = ", ".join(f'"{name}"' for name in names)
    for count, part in ((rows, told[:whole]), (1, told[whole:])):
        if not part:
            continue
        same = [f"?{n + 1}" for n in range(known)]
        each = [
            ", ".join([*(f"?{known + row * width + n + 1}" for n in range(width)), *same])
            for row in range(count)
        ]
        into = f'INSERT INTO "{table.name}" ({quoted}) VALUES ({"), (".join(each)})'
        connection.exec_driver_sql(into, [
            (*fixed, *chain.from_iterable(part[at : at + count])) for at in range(0, len(part), count)
        ])  # fmt: skip
