"""Frozen pollen frames, what was taken of them, and dry feed that stood in the open."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations import guards

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

TABLES = ("frozen", "frozen_taken", "dry_feed")  # a lot stands before what is taken of it
IN_THE_WAY = "id = NEW.id OR replaces = NEW.replaces OR rowid = NEW.rowid"


def upgrade() -> None:
    """Make the tables and their triggers."""
    op.create_table(
        "frozen",
        sa.Column("yard", sa.String(), nullable=False),
        sa.Column("taken_on", sa.Date(), nullable=False),
        sa.Column("frames", sa.Double(), nullable=False),
        sa.Column("disease_free", sa.Boolean(), nullable=True),
        sa.Column("note", sa.String(), nullable=False),
        *_fact("frozen"),
    )
    op.create_index(op.f("ix_frozen_yard"), "frozen", ["yard"], unique=False)
    op.create_table(
        "frozen_taken",
        sa.Column("frozen_id", sa.Uuid(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("frames", sa.Double(), nullable=False),
        sa.Column("to_yard", sa.String(), nullable=False),
        *_fact("frozen_taken"),
        sa.ForeignKeyConstraint(["frozen_id"], ["frozen.id"], name=op.f("fk_frozen_taken_frozen_id_frozen")),
    )
    op.create_index(op.f("ix_frozen_taken_frozen_id"), "frozen_taken", ["frozen_id"], unique=False)
    op.create_table(
        "dry_feed",
        sa.Column("yard_id", sa.Uuid(), nullable=False),
        sa.Column("since", sa.Date(), nullable=False),
        sa.Column("latitude", sa.Double(), nullable=False),
        sa.Column("longitude", sa.Double(), nullable=True),
        sa.Column("near_km", sa.Double(), nullable=False),
        sa.Column("far_km", sa.Double(), nullable=False),
        sa.Column("colonies_in_range", sa.Double(), nullable=True),
        sa.Column("own_colonies", sa.Integer(), nullable=False),
        *_fact("dry_feed"),
        sa.ForeignKeyConstraint(["yard_id"], ["yard.id"], name=op.f("fk_dry_feed_yard_id_yard")),
    )
    op.create_index(op.f("ix_dry_feed_yard_id"), "dry_feed", ["yard_id"], unique=False)
    for table in TABLES:
        guards.guard(table, IN_THE_WAY)


def downgrade() -> None:
    """Drop the tables; their triggers and indices go with them."""
    for table in reversed(TABLES):
        op.drop_table(table)


def _fact(table: str) -> tuple[sa.schema.SchemaItem, ...]:
    """What every fact has: its key, when it was written down, and what it takes the place of."""
    return (
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["replaces"], [f"{table}.id"], name=op.f(f"fk_{table}_replaces_{table}")),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
        sa.UniqueConstraint("replaces", name=op.f(f"uq_{table}_replaces")),
    )
