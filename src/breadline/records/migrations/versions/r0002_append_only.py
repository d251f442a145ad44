"""The database itself refuses to change or delete what was written down.

The session refuses it too, but another program opening the book would not.
"""

from __future__ import annotations

from breadline.records.migrations import guards

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

TABLES = (
    "operation",
    "yard",
    "yard_fact",
    "colony",
    "visit",
    "reading",
    "weather",
    "bloom",
    "figure_edit",
)


def upgrade() -> None:
    """Make the triggers."""
    guards.make_refusal()
    for table in TABLES:
        guards.guard(table, "id = NEW.id")


def downgrade() -> None:
    """Drop the triggers."""
    for table in TABLES:
        guards.unguard(table)
    guards.drop_refusal()
