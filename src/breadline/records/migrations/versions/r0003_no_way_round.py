"""INSERT OR REPLACE finds no way round the guards: not by the key, the entry replaced, or the rowid.

SQLite deletes the row that stands in the way of a REPLACE without asking the DELETE
trigger, unless the program asked for recursive triggers. So the guard before an
insert looks for a row in the way under everything that is unique.
"""

from __future__ import annotations

from alembic import op

from breadline.records.migrations import guards

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

BY_KEY = ("operation", "yard", "colony", "weather")
CORRECTED = ("yard_fact", "visit", "reading", "bloom", "figure_edit")


def upgrade() -> None:
    """Make the guards look at everything that is unique."""
    for table in BY_KEY:
        _guard(table, "id = NEW.id OR rowid = NEW.rowid")
    for table in CORRECTED:
        _guard(table, "id = NEW.id OR replaces = NEW.replaces OR rowid = NEW.rowid")


def downgrade() -> None:
    """The guards of 0002, which look at the key alone."""
    for table in (*BY_KEY, *CORRECTED):
        _guard(table, "id = NEW.id")


def _guard(table: str, in_the_way: str) -> None:
    if guards.on_server():
        return  # it has no INSERT OR REPLACE
    op.execute(f"DROP TRIGGER {table}_no_replace")
    guards.guard_replacing(table, in_the_way)
