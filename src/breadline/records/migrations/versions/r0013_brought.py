"""Sheets that were brought in, and copies that were made."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations.guards import guard

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

IN_THE_WAY = "id = NEW.id OR rowid = NEW.rowid"


def upgrade() -> None:
    """Make the tables and their guards."""
    op.create_table(
        "brought",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("asked", sa.JSON(), nullable=False),
        sa.Column("rows", sa.Integer(), nullable=False),
        sa.Column("digests", sa.LargeBinary(), nullable=False),
        *_kept("brought"),
    )
    op.create_index(op.f("ix_brought_sha256"), "brought", ["sha256"], unique=False)
    op.create_table(
        "copy_made",
        sa.Column("to", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("records", sa.Integer(), nullable=False),
        *_kept("copy_made"),
    )
    guard("brought", IN_THE_WAY)
    guard("copy_made", IN_THE_WAY)


def downgrade() -> None:
    """Drop the tables; their guards and indices go with them."""
    for table in ("copy_made", "brought"):
        op.drop_table(table)


def _kept(table: str) -> list[sa.schema.SchemaItem]:
    return [
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
    ]
