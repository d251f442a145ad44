"""Trials of check groups: what was drawn and locked, every colony, and what became of it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations import guards

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

TABLES = ("trial", "trial_colony", "trial_end")  # a trial stands before its colonies
FACT = "id = NEW.id OR replaces = NEW.replaces OR rowid = NEW.rowid"
IN_THE_WAY = {
    "trial": FACT,
    "trial_colony": "id = NEW.id OR rowid = NEW.rowid OR (trial_id = NEW.trial_id AND number = NEW.number)",
    "trial_end": FACT,
}


def upgrade() -> None:
    """Make the tables and their triggers."""
    op.create_table(
        "trial",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("told", sa.JSON(), nullable=False),
        sa.Column("seal", sa.String(length=64), nullable=True),
        sa.Column("drawn", sa.Uuid(), nullable=True),
        *_fact("trial"),
        sa.ForeignKeyConstraint(["drawn"], ["trial.id"], name=op.f("fk_trial_drawn_trial")),
    )
    op.create_table(
        "trial_colony",
        sa.Column("trial_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        *(_words("tag", "hive", "yard", "unit", "block")),
        sa.Column("arm", sa.Integer(), nullable=False),
        sa.Column("baseline", sa.Double(), nullable=True),
        sa.Column("row", sa.Integer(), nullable=True),
        sa.Column("place", sa.Integer(), nullable=True),
        *_words("queen_line"),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["trial_id"], ["trial.id"], name=op.f("fk_trial_colony_trial_id_trial")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_trial_colony")),
        sa.UniqueConstraint("trial_id", "number", name=op.f("uq_trial_colony_trial_id")),
    )
    op.create_table(
        "trial_end",
        sa.Column("trial_id", sa.Uuid(), nullable=False),
        *_words("tag", "became"),
        sa.Column("outcome", sa.Double(), nullable=True),
        sa.Column("graded_on", sa.Date(), nullable=True),
        *_words("grader"),
        sa.Column("again", sa.Double(), nullable=True),
        sa.Column("guessed", sa.Integer(), nullable=True),
        *_words("merged_into"),
        sa.Column("taken", sa.Double(), nullable=False),
        *_fact("trial_end"),
        sa.ForeignKeyConstraint(["trial_id"], ["trial.id"], name=op.f("fk_trial_end_trial_id_trial")),
    )
    op.create_index(op.f("ix_trial_end_trial_id"), "trial_end", ["trial_id"], unique=False)
    for table in TABLES:
        guards.guard(table, IN_THE_WAY[table])


def downgrade() -> None:
    """Drop the tables; their triggers and indices go with them."""
    for table in reversed(TABLES):
        op.drop_table(table)


def _words(*names: str) -> list[sa.schema.SchemaItem]:
    return [sa.Column(name, sa.String(), nullable=False) for name in names]


def _fact(table: str) -> list[sa.schema.SchemaItem]:
    """The columns of a row that a later row may correct."""
    return [
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["replaces"], [f"{table}.id"], name=op.f(f"fk_{table}_replaces_{table}")),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
        sa.UniqueConstraint("replaces", name=op.f(f"uq_{table}_replaces")),
    ]
