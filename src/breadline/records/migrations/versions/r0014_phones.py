"""Phones that may send over the network of the house."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations.guards import guard

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

TABLE = "phone"


def upgrade() -> None:
    """Make the table and its guards."""
    op.create_table(
        TABLE,
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("code_sha256", sa.String(length=64), nullable=True),
        sa.Column("code_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("token_sha256", sa.String(length=64), nullable=True),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["replaces"], ["phone.id"], name=op.f("fk_phone_replaces_phone")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_phone")),
        sa.UniqueConstraint("replaces", name=op.f("uq_phone_replaces")),
    )
    op.create_index(op.f("ix_phone_token_sha256"), TABLE, ["token_sha256"], unique=False)
    guard(TABLE, "id = NEW.id OR replaces = NEW.replaces OR rowid = NEW.rowid")


def downgrade() -> None:
    """Drop the table; its guards go with it."""
    op.drop_table(TABLE)
