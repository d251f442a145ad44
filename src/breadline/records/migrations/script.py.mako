"""${message}

Write types out (sa.DateTime(timezone=True), sa.Uuid()), never import UtcTime or a
table here: a migration must mean the same in ten years. A table that batch mode
rebuilds loses its triggers: make them again, as r0002 and r0003 do.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}
branch_labels = None
depends_on = None


def upgrade() -> None:
    ${upgrades if upgrades else "pass"}


def downgrade() -> None:
    ${downgrades if downgrades else "pass"}
