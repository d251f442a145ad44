"""What an own trial taught by its living colonies, and how many were lost."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None

TABLE = "belief_update"


def upgrade() -> None:
    """Add the column; lessons of older books have none."""
    op.add_column(TABLE, sa.Column("lived", sa.JSON(), nullable=True))


def downgrade() -> None:
    """Drop it again."""
    op.drop_column(TABLE, "lived")
