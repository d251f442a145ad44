"""The guards of the tables: the database itself refuses to change or delete an entry.

They are written once for both databases and all migrations. What they refuse never
changes; how a database is told to may.
"""

from __future__ import annotations

from alembic import op

ON_SERVER = ("update", "delete", "truncate")


def on_server() -> bool:
    """Whether the migration runs on PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def make_refusal() -> None:
    """What the guards of a server call; a SQLite trigger says it itself."""
    if on_server():
        op.execute(
            "CREATE FUNCTION append_only() RETURNS trigger LANGUAGE plpgsql AS "
            "$$BEGIN RAISE EXCEPTION '% is append-only', TG_TABLE_NAME; END$$"
        )


def drop_refusal() -> None:
    """Drop what the guards of a server call."""
    if on_server():
        op.execute("DROP FUNCTION append_only()")


def guard(table: str, in_the_way: str) -> None:
    """Refuse every change, deletion and replacement in a table.

    ``in_the_way`` finds the row that an entry would replace, under everything that is
    unique, on SQLite: its INSERT OR REPLACE deletes that row without asking the DELETE
    trigger, unless the program asked for recursive triggers.

    PostgreSQL has no such road: an upsert asks the UPDATE trigger. It has TRUNCATE, and
    a setting for replicas that skips triggers, unless they are always to be asked.
    """
    if on_server():
        for verb in ON_SERVER:
            each = "STATEMENT" if verb == "truncate" else "ROW"
            op.execute(
                f'CREATE TRIGGER {table}_no_{verb} BEFORE {verb.upper()} ON "{table}" '
                f"FOR EACH {each} EXECUTE FUNCTION append_only()"
            )
            op.execute(f'ALTER TABLE "{table}" ENABLE ALWAYS TRIGGER {table}_no_{verb}')
        return
    for verb in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
        )
    guard_replacing(table, in_the_way)


def guard_replacing(table: str, in_the_way: str) -> None:
    """The part of SQLite's guards that looks for a row in the way."""
    # Without a rowid of its own, a new row's stands as -1 here, where no row is.
    op.execute(
        f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
        f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {in_the_way}) "
        f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
    )


def unguard(table: str) -> None:
    """Drop the guards of a table that stays."""
    for verb in ON_SERVER if on_server() else ("update", "delete", "replace"):
        of = f' ON "{table}"' if on_server() else ""
        op.execute(f"DROP TRIGGER {table}_no_{verb}{of}")
