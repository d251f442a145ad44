"""What is wrong with a book's file: pages, keys, guards, values, histories; each with what to do."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from breadline.errors import RecordError
from breadline.language import noted, say, say_counted
from breadline.records.address import may_be_a_book
from breadline.records.append_only import Base, Fact
from breadline.records.contents import (
    NO_BOOK,
    Contents,
    HalfWritten,
    contents,
    loose_keys,
    not_text,
    reading_file,
    refuse_half_written,
    shape_of,
    tables_of,
)
from breadline.records.copy_digest import COPY_CHANGED, ONLY_COPY, kept_digest
from breadline.records.damaged_rows import broken_histories, misshapen
from breadline.records.engine import open_book
from breadline.records.refusals import Unreadable
from breadline.records.shape import known_shapes
from breadline.records.tables import KEPT

GO_BACK = noted("Keep this file as it is and go back to your last copy: breadline restore COPY NEW_BOOK")
TAKE_OUT = noted(
    "The entries themselves are whole. Take them out and into a new book: "
    "breadline export BOOK all.json --as json, then breadline import NEW_BOOK all.json"
)
LOOK_OVER = noted(
    "Look its entries over. Then take them out and into a new book: "
    "breadline export BOOK all.json --as json, then breadline import NEW_BOOK all.json"
)
NOTHING = noted("there is nothing in it; where a file {log} lay beside it, its entries stand in that one")
SHOWN = 5  # of many alike
KINDS = {"table": noted("table"), "index": noted("index")}  # of a database


@dataclass(frozen=True)
class Finding:
    """One thing that is not as it should be."""

    kind: str  # file, keys, guards, values, history, digest or seal
    where: str
    what: str
    do: str


def damage(path: Path) -> list[Finding]:
    """What is wrong with the file of a book; empty where nothing is.

    Errors
    ------
    RecordError
        If the file is not there, cannot be read at all, or was written by a newer version.
    """
    try:
        refuse_half_written(path)
    except HalfWritten as fault:
        return [Finding("file", path.name, fault.what, say(GO_BACK))]
    try:
        with reading_file(path) as connection:
            return _found(path, connection)
    except Unreadable:
        return [Finding("file", path.name, say("its pages cannot be read"), say(GO_BACK))]


def read_back(path: Path) -> tuple[Contents | None, list[Finding]]:
    """All of a file whose pages are sound, record by record, and what is wrong with that.

    Letters that are none, and a copy that is not what it was when it was made: no page and no key tells.
    """
    with reading_file(path) as connection:
        try:
            held = contents(connection)
        except sqlite3.OperationalError as fault:
            if "decode" not in str(fault):
                raise
            return None, list(_letters(connection))
        told = kept_digest(path, connection)
    if told in (None, held.sha256):
        return held, []
    return held, [Finding("copy", path.name, say(COPY_CHANGED), say(ONLY_COPY))]


def _letters(connection: sqlite3.Connection) -> Iterator[Finding]:
    for table, count in not_text(connection):
        what = say_counted(
            "{n} entry has letters that are none",
            "{n} entries have letters that are none",
            count,
            n=f"{count:,}",
        )
        yield Finding("file", _said(table), what, say(GO_BACK))


def _found(path: Path, connection: sqlite3.Connection) -> list[Finding]:
    head, known = known_shapes()
    here, tables = shape_of(connection), set(tables_of(connection))
    if not may_be_a_book(tables):
        raise RecordError(str(path), say(NO_BOOK), say("a book"), say("Check the path"))
    if not tables:
        what = say(NOTHING, log=f"{path.name}-wal")
        return [Finding("file", path.name, what, say(GO_BACK))]
    if here is None or "operation" not in tables:
        raise Unreadable(
            str(path), say("it is not a book of Breadline"), say("a book of records"), say("Check the path")
        )
    if here not in known:
        raise RecordError(
            str(path), say("it was written by a newer version of Breadline (shape {here})", here=here),
            say("shape {head} or older", head=head), say("Ask that version; nothing was changed in the file"),
        )  # fmt: skip
    broken = list(_pages(path, connection))
    if any(one.kind == "file" and one.do == say(GO_BACK) for one in broken):
        return broken  # what stands on broken pages says nothing
    connection.text_factory = lambda told: told.decode(errors="replace")  # see read_back for letters
    found = [*broken, *_loose(connection)]
    if here == head:
        found += _guards(connection)
        for kind in KEPT:
            found += [Finding("values", *one, say(GO_BACK)) for one in misshapen(connection, kind.__table__)]
    present = set(tables_of(connection))
    for table in Base.metadata.sorted_tables:
        if issubclass(_kind(table.name), Fact) and table.name in present:
            found += [
                Finding("history", *one, say(GO_BACK)) for one in broken_histories(connection, table.name)
            ]
    return found


def _kind(table: str) -> type[Base]:
    return next(kind for kind in KEPT if kind.__tablename__ == table)


def _pages(path: Path, connection: sqlite3.Connection) -> Iterator[Finding]:
    said = [str(line) for (line,) in connection.execute("PRAGMA integrity_check")]
    lines = [line for line in said if line != "ok"]
    indices = [line for line in lines if "index" in line]
    others = [line for line in lines if line not in indices]
    if others:
        yield Finding(
            "file", path.name, say("pages of it are damaged ({lines})", lines=_some(others)), say(GO_BACK)
        )
    elif indices:
        yield Finding(
            "file",
            path.name,
            say("a list of keys is out of step ({lines})", lines=_some(indices)),
            say(TAKE_OUT),
        )


def _some(lines: list[str]) -> str:
    more = say("; and {n} more", n=len(lines) - SHOWN) if len(lines) > SHOWN else ""
    return "; ".join(lines[:SHOWN]) + more


def _loose(connection: sqlite3.Connection) -> Iterator[Finding]:
    found: dict[tuple[str, str], int] = {}
    loose, mismatch = loose_keys(connection)
    for line in mismatch:
        yield Finding("keys", "tables", say("keys cannot be followed ({line})", line=line), say(GO_BACK))
    for table, parent in loose:
        found[table, parent] = found.get((table, parent), 0) + 1
    for (table, parent), count in found.items():
        what = say_counted(
            "{n} entry names an entry of “{parent}” that is not there",
            "{n} entries name an entry of “{parent}” that is not there",
            count, n=f"{count:,}", parent=_said(parent),
        )  # fmt: skip
        yield Finding("keys", _said(table), what, say(GO_BACK))


def _said(table: str) -> str:
    return table.replace("_", " ")


def _guards(connection: sqlite3.Connection) -> Iterator[Finding]:
    """What a new book has and this one lacks: tables, indices, and the triggers that keep entries."""
    here = _schema(connection)
    for (kind, name), text in sorted(_of_a_new_book().items()):
        if here.get((kind, name)) == text:
            continue
        state = say("is not there") if (kind, name) not in here else say("is not what it was")
        if kind == "trigger":
            what = say(
                "its guard {name} {state}: another program may have changed or deleted entries",
                name=name,
                state=state,
            )
        else:
            what = say("its {kind} {name} {state}", kind=say(KINDS.get(kind, kind)), name=name, state=state)
        yield Finding("guards", _said(name.partition("_no_")[0]), what, say(LOOK_OVER))


@cache
def _of_a_new_book() -> dict[tuple[str, str], str]:
    """What stands in a book that was just made."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "new.db"
        open_book(path).dispose()
        with closing(sqlite3.connect(path)) as fresh:
            return _schema(fresh)


def _schema(connection: sqlite3.Connection) -> dict[tuple[str, str], str]:
    rows = connection.execute("SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {(kind, name): sql for kind, name, sql in rows if not name.startswith("sqlite_")}
