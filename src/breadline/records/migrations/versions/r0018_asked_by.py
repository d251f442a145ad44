"""The message by which a question was asked, beside its English: for readers of another language."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None

TABLE = "field_answer"


def upgrade() -> None:
    """Add the column; questions of older books have none and keep their text."""
    op.add_column(TABLE, sa.Column("asked_by", sa.JSON(), nullable=True))


def downgrade() -> None:
    """Drop it again; the English stays."""
    op.drop_column(TABLE, "asked_by")
