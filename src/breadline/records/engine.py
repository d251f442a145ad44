"""Opens the book: one SQLite file, brought to this version's shape, never left half changed.

The only place with SQL that is SQLite's alone, but for the triggers of the
migrations; 0002 asks for the dialect first. WAL and ``synchronous=FULL`` mean that what
was saved is still there after the power went.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect
from sqlalchemy.engine.interfaces import ExceptionContext
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.records.refusals import in_plain_words

BUSY_MS = 10_000  # how long a second writer waits for the first [ms]


def open_book(path: Path | str) -> Engine:
    """The book at ``path``, made if it is not there, brought to this version's shape.

    A book in an older shape is copied beside itself first, as
    ``<name>.before-<revision>.db``.

    Errors
    ------
    RecordError
        If the file is no book of Breadline, was written by a newer version, is
        damaged, or cannot be written (read-only, full disk, no such folder).
    """
    path = Path(path)
    if not path.parent.is_dir():
        raise RecordError(str(path), "its folder is not there", "a folder that exists", "Make it first")
    engine = _engine(path)
    try:
        _bring_up(engine, path)
    except BaseException:
        engine.dispose()
        raise
    return engine


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """A session that holds the pen from its start and saves at its end, or saves nothing.

    Its rows stay readable afterwards: no row of the book ever changes, so none grows stale.
    """
    pen = engine.execution_options(writes=True)
    with Session(pen, expire_on_commit=False) as session, session.begin():
        yield session


@contextmanager
def looking(engine: Engine) -> Iterator[Session]:
    """A session for reading; nothing is saved."""
    with Session(engine) as session:
        yield session


def checked(engine: Engine) -> None:
    """Ask the database whether the file is whole and every key points at a row.

    Errors
    ------
    RecordError
        If it is not, with what the database says.
    """
    with engine.connect() as connection:
        said = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
        loose = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if said != ["ok"] or loose:
        what = "; ".join(str(line) for line in [*said, *loose][:5])
        raise RecordError(str(engine.url.database), f"the book is damaged ({what})", do=_GO_BACK)


_GO_BACK = "Keep this file as it is and go back to your last copy"


def migrations(connection: Connection | None = None) -> Config:
    """The migrations of this package, to be run on ``connection``."""
    config = Config()
    folder = str(Path(__file__).parent / "migrations")
    config.set_main_option("script_location", folder.replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def migrate(engine: Engine, revision: str = "head", before: Callable[[], object] | None = None) -> None:
    """Bring the book to ``revision``, up or down, in one transaction with its keys checked after.

    ``before`` is called with the pen held, and only where there is something to
    change: of two programs that open an old book at once, one finds it in shape.
    """
    with _without_keys(engine) as connection:
        config = migrations(connection)
        here = MigrationContext.configure(connection).get_current_revision()
        steps = [r.revision for r in ScriptDirectory.from_config(config).walk_revisions()][::-1]
        wanted = len(steps) if revision == "head" else 0 if revision == "base" else steps.index(revision) + 1
        now_at = 0 if here is None else steps.index(here) + 1
        if wanted == now_at:
            return
        if before is not None:
            before()
        (command.upgrade if wanted >= now_at else command.downgrade)(config, revision)
        if loose := connection.exec_driver_sql("PRAGMA foreign_key_check").all():
            raise RecordError("migration", f"{len(loose)} keys would point at nothing", do=_GO_BACK)
        connection.commit()


@contextmanager
def _without_keys(engine: Engine) -> Iterator[Connection]:
    """A connection of its own with foreign keys off, as rebuilding a table needs, and the pen held."""
    with engine.connect().execution_options(writes=True) as connection:
        raw: Any = connection.connection.dbapi_connection
        raw.execute("PRAGMA foreign_keys=OFF")  # outside a transaction, else it does nothing
        try:
            yield connection
        finally:
            connection.rollback()
            raw.execute("PRAGMA foreign_keys=ON")


def _engine(path: Path) -> Engine:
    engine = create_engine(URL.create("sqlite", database=str(path)), connect_args={"timeout": BUSY_MS / 1000})
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    event.listen(engine, "handle_error", _say_it_plainly)
    return engine


def _set_up(raw: sqlite3.Connection, _: object) -> None:
    raw.isolation_level = None  # SQLAlchemy begins transactions, so that DDL is inside them too
    raw.execute(f"PRAGMA busy_timeout={BUSY_MS}").fetchall()
    _write_ahead(raw)
    for pragma in (
        "synchronous=FULL",
        "foreign_keys=ON",
        "recursive_triggers=ON",  # else INSERT OR REPLACE deletes past the triggers
    ):
        raw.execute(f"PRAGMA {pragma}").fetchall()


def _write_ahead(raw: sqlite3.Connection) -> None:
    """Switch to write-ahead logging; SQLite does not wait its turn for that by itself."""
    until = time.monotonic() + BUSY_MS / 1000
    while True:
        try:
            raw.execute("PRAGMA journal_mode=WAL").fetchall()
            return
        except sqlite3.OperationalError as busy:
            if "locked" not in str(busy) or time.monotonic() > until:
                raise
            time.sleep(0.02)


def _begin(connection: Connection) -> None:
    pen = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if pen else "BEGIN")


def _say_it_plainly(context: ExceptionContext) -> None:
    engine = context.engine
    place = "book of records" if engine is None else str(engine.url.database)
    plain = in_plain_words(place, str(context.original_exception))
    if plain is not None:
        raise plain from context.original_exception


def _bring_up(engine: Engine, path: Path) -> None:
    script = ScriptDirectory.from_config(migrations())
    head = script.get_current_head()
    with engine.connect() as connection:
        names = set(inspect(connection).get_table_names())
        here = MigrationContext.configure(connection).get_current_revision()
    if names and "alembic_version" not in names:
        raise RecordError(
            str(path),
            "it is a database, but not a book of Breadline",
            "a new name, or a book",
            "Check the path",
        )
    if here is not None and here not in {r.revision for r in script.walk_revisions()}:
        raise RecordError(
            str(path),
            f"it was written by a newer version of Breadline (shape {here})",
            f"shape {head} or older",
            "Install the newer version; nothing was changed in the file",
        )
    if here == head:
        return
    migrate(engine, before=(lambda: _copy_beside(path, str(head))) if names else None)


def _copy_beside(path: Path, revision: str) -> Path:
    """A whole copy of the book, with what still stands in its log."""
    name = f"{path.stem}.before-{revision}"
    spare = path.with_name(f"{name}.db")
    number = 1
    while spare.exists():
        number += 1
        spare = path.with_name(f"{name}-{number}.db")
    try:
        with closing(sqlite3.connect(path)) as old, closing(sqlite3.connect(spare)) as new:
            old.backup(new)
    except sqlite3.Error as error:
        plain = in_plain_words(str(spare), str(error))
        raise plain or RecordError(str(spare), f"the copy could not be written ({error})") from error
    return spare
