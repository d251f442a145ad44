"""Entries that are taken back altogether: a record names the one it takes back."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None

TABLE = "field_entry"


def upgrade() -> None:
    """A column for its key; older entries take nothing back."""
    op.add_column(TABLE, sa.Column("withdraws", sa.Uuid(), nullable=True))
    op.create_index(op.f("ix_field_entry_withdraws"), TABLE, ["withdraws"], unique=False)


def downgrade() -> None:
    """Drop the column; what was taken back stays so."""
    op.drop_index(op.f("ix_field_entry_withdraws"), table_name=TABLE)
    op.drop_column(TABLE, "withdraws")
