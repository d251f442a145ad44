"""Entries that are taken back altogether: a record names the one it takes back."""

from __future__ import annotations

from uuid import UUID

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations import guards

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None

TABLE = "field_entry"
IN_THE_WAY = "id = NEW.id OR rowid = NEW.rowid"


def upgrade() -> None:
    """A column for its key; an entry that takes one back says so in what was sent, after a way down too."""
    op.add_column(TABLE, sa.Column("withdraws", sa.Uuid(), nullable=True))
    told = sa.table(TABLE, sa.column("id", sa.Uuid()), sa.column("told", sa.JSON()),
                    sa.column("withdraws", sa.Uuid()))  # fmt: skip
    rows = op.get_bind().execute(sa.select(told.c.id, told.c.told))
    named = [{"key": key, "of": UUID(said["withdraws"])} for key, said in rows if said.get("withdraws")]
    if named:
        guards.unguard(TABLE)
        of = sa.update(told).where(told.c.id == sa.bindparam("key")).values(withdraws=sa.bindparam("of"))
        op.get_bind().execute(of, named)
        guards.guard(TABLE, IN_THE_WAY)
    op.create_index(op.f("ix_field_entry_withdraws"), TABLE, ["withdraws"], unique=False)


def downgrade() -> None:
    """Drop the column; what was sent says it still, and what was taken back stays so."""
    op.drop_index(op.f("ix_field_entry_withdraws"), table_name=TABLE)
    op.drop_column(TABLE, "withdraws")
