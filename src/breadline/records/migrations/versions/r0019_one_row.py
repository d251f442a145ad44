"""Whether the groups of an own trial stood in one row without alternating."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None

TABLE = "belief_update"


def upgrade() -> None:
    """Add the column; lessons of older books do not say it."""
    op.add_column(TABLE, sa.Column("one_row", sa.Boolean(), nullable=True))


def downgrade() -> None:
    """Drop it again."""
    op.drop_column(TABLE, "one_row")
