"""The shape of a book: brought to this version's in one transaction, with a copy made first."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, inspect

from breadline.errors import RecordError
from breadline.records.refusals import in_plain_words

GO_BACK = "Keep this file as it is and go back to your last copy"


def bring_up(engine: Engine, path: Path) -> None:
    """Bring the book at ``path`` to this version's shape; see :func:`breadline.records.engine.open_book`."""
    head, known = _shapes()
    with engine.connect() as connection:
        names = set(inspect(connection).get_table_names())
        here = MigrationContext.configure(connection).get_current_revision()
    if not may_be_a_book(names):
        raise RecordError(
            str(path),
            "it is a database, but not a book of Breadline",
            "a new name, or a book",
            "Check the path",
        )
    if here is not None and here not in known:
        raise RecordError(
            str(path),
            f"it was written by a newer version of Breadline (shape {here})",
            f"shape {head} or older",
            "Install the newer version; nothing was changed in the file",
        )
    if here == head:
        return
    migrate(engine, before=(lambda: _copy_beside(path, str(head))) if names else None)


@cache
def _shapes() -> tuple[str | None, frozenset[str]]:
    """The newest shape and all known ones; they never change, and a book is opened for every page."""
    script = ScriptDirectory.from_config(migrations())
    return script.get_current_head(), frozenset(r.revision for r in script.walk_revisions())


def may_be_a_book(tables: set[str]) -> bool:
    """Whether a file with these tables is a book, or nothing yet."""
    return tables <= {"alembic_version"} or {"alembic_version", "operation"} <= tables


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
            raise RecordError("migration", f"{len(loose)} keys would point at nothing", do=GO_BACK)
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
