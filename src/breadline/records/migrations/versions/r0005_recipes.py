"""Recipes in their versions, bought feeds by their labels, prices with their year, batches by number."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations import guards

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

TABLES = ("recipe", "feed", "price", "batch")  # a table stands before those that point at it
IN_THE_WAY = "id = NEW.id OR replaces = NEW.replaces OR rowid = NEW.rowid"


def upgrade() -> None:
    """Make the tables and their triggers."""
    _table(
        "recipe",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
    )
    _table(
        "feed",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("label", sa.JSON(), nullable=False),
    )
    _table(
        "price",
        sa.Column("of", sa.String(), nullable=False),
        sa.Column("price", sa.Double(), nullable=False),
        sa.Column("per", sa.String(), nullable=False),
        sa.Column("money", sa.String(), nullable=False),
        sa.Column("year", sa.Integer(), nullable=False),
        sa.Column("bag", sa.Double(), nullable=True),
        sa.Column("bag_unit", sa.String(), nullable=True),
    )
    _table(
        "batch",
        sa.Column("recipe_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("loads", sa.Integer(), nullable=False),
        sa.Column("measured", sa.JSON(), nullable=False),
        sa.Column("piece_g", sa.Double(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["recipe_id"], ["recipe.id"], name=op.f("fk_batch_recipe_id_recipe")),
    )
    for table, column in (("recipe", "name"), ("feed", "name"), ("price", "of"), ("batch", "recipe_id")):
        op.create_index(op.f(f"ix_{table}_{column}"), table, [column], unique=False)
    for table in TABLES:
        guards.guard(table, IN_THE_WAY)


def downgrade() -> None:
    """Drop the tables; their triggers and indices go with them."""
    for table in reversed(TABLES):
        op.drop_table(table)


def _table(name: str, *columns: sa.schema.SchemaItem) -> None:
    """A table of facts: rows that a later row may correct."""
    op.create_table(
        name,
        *columns,
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["replaces"], [f"{name}.id"], name=op.f(f"fk_{name}_replaces_{name}")),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{name}")),
        sa.UniqueConstraint("replaces", name=op.f(f"uq_{name}_replaces")),
    )
