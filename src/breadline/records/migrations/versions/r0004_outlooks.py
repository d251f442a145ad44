"""Outlooks as they were shown, each kept once, so that a later count can be held against them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations import guards

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

IN_THE_WAY = "id = NEW.id OR (yard_id = NEW.yard_id AND sha256 = NEW.sha256) OR rowid = NEW.rowid"


def upgrade() -> None:
    """Make the table and its triggers."""
    op.create_table(
        "outlook",
        sa.Column("yard_id", sa.Uuid(), nullable=False),
        sa.Column("shown_on", sa.Date(), nullable=False),
        sa.Column("counted_on", sa.Date(), nullable=False),
        sa.Column("count", sa.JSON(), nullable=False),
        sa.Column("given", sa.JSON(), nullable=False),
        sa.Column("bees_a_frame", sa.Double(), nullable=False),
        sa.Column("seed", sa.Integer(), nullable=False),
        sa.Column("members", sa.Integer(), nullable=False),
        sa.Column("program", sa.String(), nullable=False),
        sa.Column("engine", sa.String(), nullable=False),
        sa.Column("draws", sa.String(), nullable=False),
        sa.Column("first", sa.Date(), nullable=False),
        sa.Column("last", sa.Date(), nullable=False),
        sa.Column("bands", sa.JSON(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["yard_id"], ["yard.id"], name=op.f("fk_outlook_yard_id_yard")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outlook")),
        sa.UniqueConstraint("yard_id", "sha256", name=op.f("uq_outlook_yard_id")),
    )
    guards.guard("outlook", IN_THE_WAY)


def downgrade() -> None:
    """Drop the table; its triggers go with it."""
    op.drop_table("outlook")
