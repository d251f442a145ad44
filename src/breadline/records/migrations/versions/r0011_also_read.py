"""What else was read of a trial's colonies: brood, weight, honey, feed eaten."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """A column for it; none was read where a row is older."""
    op.add_column("trial_end", sa.Column("also", sa.JSON(), nullable=True))


def downgrade() -> None:
    """Drop the column."""
    op.drop_column("trial_end", "also")
