"""Plans of feeding that were chosen, with the belief and prices they were chosen under, and their rounds."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from breadline.records.migrations import guards

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

TABLES = ("plan", "round")  # a plan stands before its rounds
IN_THE_WAY = {
    "plan": "id = NEW.id OR replaces = NEW.replaces OR rowid = NEW.rowid",
    "round": "id = NEW.id OR rowid = NEW.rowid OR (plan_id = NEW.plan_id AND number = NEW.number)",
}


def upgrade() -> None:
    """Make the tables and their triggers."""
    op.create_table(
        "plan",
        sa.Column("yard_id", sa.Uuid(), nullable=False),
        sa.Column("chosen_on", sa.Date(), nullable=False),
        sa.Column("asked", sa.String(), nullable=False),
        sa.Column("sentence", sa.String(), nullable=False),
        sa.Column("break_even", sa.String(), nullable=False),
        sa.Column("feed", sa.String(), nullable=False),
        sa.Column("colonies", sa.Integer(), nullable=False),
        sa.Column("belief", sa.JSON(), nullable=False),
        sa.Column("prices", sa.JSON(), nullable=False),
        sa.Column("foretold", sa.JSON(), nullable=False),
        sa.Column("seed", sa.Integer(), nullable=False),
        sa.Column("program", sa.String(), nullable=False),
        sa.Column("draws", sa.String(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["replaces"], ["plan.id"], name=op.f("fk_plan_replaces_plan")),
        sa.ForeignKeyConstraint(["yard_id"], ["yard.id"], name=op.f("fk_plan_yard_id_yard")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan")),
        sa.UniqueConstraint("replaces", name=op.f("uq_plan_replaces")),
    )
    op.create_index(op.f("ix_plan_yard_id"), "plan", ["yard_id"], unique=False)
    op.create_table(
        "round",
        sa.Column("plan_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("grams", sa.Double(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"], name=op.f("fk_round_plan_id_plan")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_round")),
        sa.UniqueConstraint("plan_id", "number", name=op.f("uq_round_plan_id")),
    )
    for table in TABLES:
        guards.guard(table, IN_THE_WAY[table])


def downgrade() -> None:
    """Drop the tables; their triggers and indices go with them."""
    for table in reversed(TABLES):
        op.drop_table(table)
