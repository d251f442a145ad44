"""Readings of a colony, entries behind a reading, questions against an entry: found without a search."""

from __future__ import annotations

from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None

INDICES = (("reading", "colony_id"), ("field_reading", "reading_id"), ("field_answer", "against_id"))


def upgrade() -> None:
    """Make the indices."""
    for table, column in INDICES:
        op.create_index(op.f(f"ix_{table}_{column}"), table, [column], unique=False)


def downgrade() -> None:
    """Drop them."""
    for table, column in INDICES:
        op.drop_index(op.f(f"ix_{table}_{column}"), table_name=table)
