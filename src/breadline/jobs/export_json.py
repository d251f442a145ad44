"""All of a book as one JSON document, and a new book from such a document: equal row by row."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, TextIO

from sqlalchemy import Connection, Table, func, select

from breadline import __version__
from breadline.errors import RecordError
from breadline.language import say
from breadline.records.address import BookAt
from breadline.records.contents import NO_RECORDS
from breadline.records.engine import is_there, looking, open_book, shut_book, writing
from breadline.records.plain_rows import Digest, Plain, plain_rows, put_back, tables_kept
from breadline.records.shape import known_shapes, migrate
from breadline.records.units import UNITS_OF

SHAPE = "breadline.book/1"
SCHEMA = "https://breadline.example/schema/book-1.schema.json"
Progress = Callable[[int, int], None]  # rows done, rows in all


@dataclass(frozen=True)
class Whole:
    """What was taken out or brought in: rows of each table, and the digest over them."""

    tables: Mapping[str, int]
    sha256: str

    @property
    def records(self) -> int:
        """All rows together, without what a book notes of its own copies: as ``verify`` counts them."""
        return sum(count for table, count in self.tables.items() if table not in NO_RECORDS)


def standing(rows: Iterator[Plain], replaced: set[str]) -> Iterator[Plain]:
    """The rows with a word on each: whether it holds, was corrected, or takes something back."""
    for row in rows:
        if "replaces" in row:
            stands = "corrected" if row["id"] in replaced else "withdrawn" if row["withdrawn"] else "holds"
            row = {**row, "stands": stands}
        yield row


def rows_of(connection: Connection, table: Table) -> Iterator[Plain]:
    """Every row of a table with a word on how it stands."""
    replaced: set[str] = set()
    if "replaces" in table.columns:
        replaced = {str(key) for key in connection.scalars(select(table.c.replaces)) if key is not None}
    return standing(plain_rows(connection, table), replaced)


def count_of(connection: Connection) -> int:
    """How many records a book has, as :attr:`Whole.records` counts them."""
    kept = [table for table in tables_kept() if table.name not in NO_RECORDS]
    return sum(connection.scalar(select(func.count()).select_from(table)) or 0 for table in kept)


def write_json(connection: Connection, out: TextIO, now: datetime, progress: Progress) -> Whole:
    """Write all rows of a book, one a line, the digest over them last."""
    head, _ = known_shapes()
    total, done, digest = count_of(connection), 0, Digest()
    counts: dict[str, int] = {}
    begun = {
        "$schema": SCHEMA, "shape": SHAPE, "program": __version__, "database_shape": head,
        "taken_out_at": now.isoformat(), "units": UNITS_OF,
    }  # fmt: skip
    out.write(json.dumps(begun, ensure_ascii=False, indent=1)[:-2] + ',\n "tables": {')
    for table in tables_kept():
        out.write(("," if counts else "") + f"\n  {json.dumps(table.name)}: [")
        digest.table(table.name)
        counts[table.name] = 0
        for row in rows_of(connection, table):
            digest.row(row)
            between = ",\n   " if counts[table.name] else "\n   "
            out.write(between + json.dumps(row, ensure_ascii=False, allow_nan=False))
            counts[table.name] += 1
            done += 1
            if done % 1000 == 0:
                progress(done, total)
        out.write("]")
    whole = Whole(counts, digest.hex())
    out.write(f'\n }},\n "records": {sum(counts.values())},\n "sha256": "{whole.sha256}"\n}}\n')
    return whole


def read_json(path: Path) -> dict[str, Any]:
    """The document of an export.

    Errors
    ------
    RecordError
        If it is no whole export of a book, or a newer version wrote it.
    """
    try:
        told = json.loads(path.read_text(encoding="utf-8-sig"))
    except (ValueError, RecursionError) as fault:
        raise RecordError(
            str(path),
            say("it is no whole JSON document ({fault})", fault=str(fault)[:90]),
            say("an export of a book"),
            say("Take it out again: breadline export BOOK FILE.json --as json"),
        ) from None
    if not isinstance(told, dict) or told.get("shape") != SHAPE or not isinstance(told.get("tables"), dict):
        raise RecordError(
            str(path), say("it is JSON, but no export of a book"), say('"shape": "{shape}"', shape=SHAPE)
        )
    head, known = known_shapes()
    if told.get("database_shape") not in known:
        raise RecordError(
            str(path),
            say(
                "it was written by a newer version of Breadline (shape {shape})",
                shape=told.get("database_shape"),
            ),
            say("shape {head} or older", head=head),
            say("Install the newer version"),
        )
    return told


def book_from_json(path: Path, at: BookAt) -> Whole:
    """A new book from an export; it holds what the export holds, or it is not made.

    Errors
    ------
    RecordError
        If a book is there already, or the document is no whole export.
    """
    if is_there(at):
        raise RecordError(
            str(at), say("there is a book already"), say("a new name: an export comes into a new book only"),
            say("Choose another name"),
        )  # fmt: skip
    told = read_json(path)
    engine = open_book(at)
    try:
        head, _ = known_shapes()
        if told["database_shape"] != head:
            migrate(engine, str(told["database_shape"]))
        with writing(engine) as session:
            whole = _put(session.connection(), told, path)
        if told["database_shape"] != head:
            migrate(engine)
    except BaseException:
        shut_book(engine)
        if isinstance(at, Path):
            at.unlink(missing_ok=True)
        raise
    shut_book(engine)
    return whole


def taken_whole(at: BookAt, out: TextIO, now: datetime, progress: Progress) -> Whole:
    """All of the book at a place, as of one moment."""
    engine = open_book(at)
    with looking(engine) as session:
        return write_json(session.connection(), out, now, progress)


def _put(connection: Connection, told: Mapping[str, Any], path: Path) -> Whole:
    tables = {table.name: table for table in tables_kept()}
    rows = told["tables"]
    for name in rows:
        if name not in tables or not isinstance(rows[name], list):
            raise RecordError(
                str(path),
                say("it has a table “{name}” that no book has", name=name),
                say("an unchanged export"),
            )
    counts = {n: put_back(connection, t, rows[n], path.name) for n, t in tables.items() if n in rows}
    digest = Digest()
    for name, table in tables.items():
        if name in rows:
            digest.table(name)
            columns = [c for c in rows[name][0] if c != "stands"] if rows[name] else None
            for row in plain_rows(connection, table, columns) if columns else ():
                digest.row(row)
    if digest.hex() != told.get("sha256"):
        raise RecordError(
            str(path), say("its rows are not those that were taken out: it was changed or cut short"),
            say("an export of this program, unchanged"),
            say("Take it out again; to bring in changed numbers use a sheet: breadline import BOOK FILE.csv"),
        )  # fmt: skip
    return Whole(counts, digest.hex())
