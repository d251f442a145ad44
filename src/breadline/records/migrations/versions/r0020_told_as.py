"""By which word an own trial is told where its class alone would say too little."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None

TABLE = "belief_update"


def upgrade() -> None:
    """Add the column; lessons of older books do not say it."""
    op.add_column(TABLE, sa.Column("told_as", sa.String(), nullable=True))


def downgrade() -> None:
    """Drop it again."""
    op.drop_column(TABLE, "told_as")
