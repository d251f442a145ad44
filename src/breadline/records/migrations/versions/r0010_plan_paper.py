"""What the sheets of a chosen plan are printed from, and the threshold it is stopped by."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

TABLE = "plan"


def upgrade() -> None:
    """Add the columns; plans of older books have neither."""
    op.add_column(TABLE, sa.Column("paper", sa.JSON(), nullable=True))
    op.add_column(TABLE, sa.Column("threshold", sa.Double(), nullable=True))


def downgrade() -> None:
    """Drop them again."""
    op.drop_column(TABLE, "threshold")
    op.drop_column(TABLE, "paper")
