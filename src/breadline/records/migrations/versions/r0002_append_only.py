"""The database itself refuses to change or delete what was written down.

The session refuses it too, but another program opening the file would not. SQLite
only so far; PostgreSQL gets its own triggers when it joins.
"""

from __future__ import annotations

from alembic import op

from breadline.errors import RecordError

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

TABLES = (
    "operation",
    "yard",
    "yard_fact",
    "colony",
    "visit",
    "reading",
    "weather",
    "bloom",
    "figure_edit",
)


def upgrade() -> None:
    """Make the triggers."""
    if op.get_bind().dialect.name != "sqlite":
        raise RecordError(
            "book of records", "the guards of its entries are written for SQLite only", "an SQLite file"
        )
    for table in TABLES:
        for verb in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
            )
        # INSERT OR REPLACE deletes without asking the DELETE trigger
        op.execute(
            f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
            f"WHEN EXISTS (SELECT 1 FROM {table} WHERE id = NEW.id) "
            f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
        )


def downgrade() -> None:
    """Drop the triggers."""
    for table in TABLES:
        for name in ("update", "delete", "replace"):
            op.execute(f"DROP TRIGGER {table}_no_{name}")
