"""Colonies by place and tag, and what comes from phones: entries, answers, and their readings."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations import guards

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None

TABLES = ("colony_fact", "field_entry", "field_answer", "field_reading")
FACT = "id = NEW.id OR replaces = NEW.replaces OR rowid = NEW.rowid"
KEPT = "id = NEW.id OR rowid = NEW.rowid"
IN_THE_WAY = {"colony_fact": FACT, "field_entry": KEPT, "field_answer": FACT, "field_reading": KEPT}


def upgrade() -> None:
    """Make the tables and their triggers."""
    op.create_table(
        "colony_fact",
        sa.Column("colony_id", sa.Uuid(), nullable=False),
        *_words("tag", "place"),
        sa.Column("walk", sa.Integer(), nullable=True),
        *_words("standing"),
        sa.Column("since", sa.Date(), nullable=True),
        sa.Column("into_id", sa.Uuid(), nullable=True),
        *_fact("colony_fact"),
        _key("colony_fact", "colony_id", "colony"),
        _key("colony_fact", "into_id", "colony"),
    )
    op.create_table(
        "field_entry",
        *_words("phone", "by", "work"),
        sa.Column("yard_id", sa.Uuid(), nullable=False),
        sa.Column("colony_id", sa.Uuid(), nullable=True),
        *_words("tag"),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("offset_minutes", sa.Integer(), nullable=False),
        sa.Column("clock_ahead_s", sa.Double(), nullable=False),
        sa.Column("told", sa.JSON(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("mends", sa.Uuid(), nullable=True),
        *_kept("field_entry"),
        _key("field_entry", "yard_id", "yard"),
        _key("field_entry", "colony_id", "colony"),
    )
    op.create_table(
        "field_answer",
        sa.Column("entry_id", sa.Uuid(), nullable=False),
        *_words("answer", "why"),
        sa.Column("against_id", sa.Uuid(), nullable=True),
        *_fact("field_answer"),
        _key("field_answer", "entry_id", "field_entry"),
        _key("field_answer", "against_id", "field_entry"),
    )
    op.create_table(
        "field_reading",
        sa.Column("entry_id", sa.Uuid(), nullable=False),
        sa.Column("reading_id", sa.Uuid(), nullable=False),
        *_kept("field_reading"),
        _key("field_reading", "entry_id", "field_entry"),
        _key("field_reading", "reading_id", "reading"),
    )
    op.create_index("ix_colony_fact_colony_id", "colony_fact", ["colony_id"], unique=False)
    op.create_index("ix_field_entry_yard_on", "field_entry", ["yard_id", "on"], unique=False)
    op.create_index("ix_field_answer_entry_id", "field_answer", ["entry_id"], unique=False)
    op.create_index("ix_field_reading_entry_id", "field_reading", ["entry_id"], unique=False)
    for table in TABLES:
        guards.guard(table, IN_THE_WAY[table])


def downgrade() -> None:
    """Drop the tables; their triggers and indices go with them."""
    for table in reversed(TABLES):
        op.drop_table(table)


def _words(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.String(), nullable=False) for name in names]


def _kept(table: str) -> list[sa.schema.SchemaItem]:
    return [
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
    ]


def _fact(table: str) -> list[sa.schema.SchemaItem]:
    return [
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        *_kept(table),
        _key(table, "replaces", table),
        sa.UniqueConstraint("replaces", name=op.f(f"uq_{table}_replaces")),
    ]


def _key(table: str, column: str, to: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{to}.id"], name=op.f(f"fk_{table}_{column}_{to}"))
