"""The shape of a book: brought to this version's in one transaction; a file is copied first."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, inspect

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.address import BookAt, may_be_a_book
from breadline.records.database import database_at, database_of


def bring_up(engine: Engine, at: BookAt) -> None:
    """Bring the book at ``at`` to this version's shape; see :func:`breadline.records.engine.open_book`."""
    head, known = known_shapes()
    database = database_at(at)
    with engine.connect() as connection:
        names = set(inspect(connection).get_table_names())
        here = MigrationContext.configure(connection).get_current_revision()
    if not may_be_a_book(names):
        raise RecordError(
            str(at),
            say("it is a database, but not a book of Breadline"),
            say("a new name, or a book"),
            say("Check the path or the address"),
        )
    if here is not None and here not in known:
        raise RecordError(
            str(at),
            say("it was written by a newer version of Breadline (shape {here})", here=here),
            say("shape {head} or older", head=head),
            say("Install the newer version; nothing was changed in the book"),
        )
    if here == head:
        return
    with engine.connect() as connection:
        database.refuse_unfit(connection, str(at))
    migrate(engine, before=(lambda: database.keep_before(at, str(head))) if names else None)


@cache
def known_shapes() -> tuple[str | None, frozenset[str]]:
    """The newest shape and all known ones; they never change, and a book is opened for every page."""
    script = ScriptDirectory.from_config(migrations())
    return script.get_current_head(), frozenset(r.revision for r in script.walk_revisions())


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
    database = database_of(engine)
    with database.migrating(engine) as connection:
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
        if loose := database.loose_keys(connection):
            raise RecordError(
                "migration",
                say("{loose} keys would point at nothing", loose=len(loose)),
                do=say(database.GO_BACK),
            )
        connection.commit()
