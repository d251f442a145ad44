"""What own trials taught: the result, and what was believed before and after it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations import guards

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

TABLE = "belief_update"
IN_THE_WAY = "id = NEW.id OR replaces = NEW.replaces OR rowid = NEW.rowid"


def upgrade() -> None:
    """Make the table and its triggers."""
    op.create_table(
        TABLE,
        sa.Column("situation", sa.String(), nullable=False),
        sa.Column("season", sa.String(), nullable=False),
        sa.Column("trial", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("graded_on", sa.Date(), nullable=False),
        sa.Column("learnt_on", sa.Date(), nullable=False),
        sa.Column("given", sa.String(), nullable=False),
        sa.Column("log_ratio", sa.Double(), nullable=False),
        sa.Column("se", sa.Double(), nullable=False),
        sa.Column("fed", sa.Integer(), nullable=False),
        sa.Column("check", sa.Integer(), nullable=False),
        sa.Column("before", sa.JSON(), nullable=False),
        sa.Column("after", sa.JSON(), nullable=False),
        sa.Column("equivalence", sa.JSON(), nullable=True),
        sa.Column("program", sa.String(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["replaces"], [f"{TABLE}.id"], name=op.f("fk_belief_update_replaces_belief_update")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_belief_update")),
        sa.UniqueConstraint("replaces", name=op.f("uq_belief_update_replaces")),
    )
    for column in ("situation", "trial"):
        op.create_index(op.f(f"ix_belief_update_{column}"), TABLE, [column], unique=False)
    guards.guard(TABLE, IN_THE_WAY)


def downgrade() -> None:
    """Drop the table; its triggers and indices go with it."""
    op.drop_table(TABLE)
