"""Alembic environment: runs on the connection that ``records/shape.py`` hands over."""

from __future__ import annotations

from alembic import context

from breadline.records import tables
from breadline.records.append_only import Base
from breadline.records.migrations.plain_types import written_out

assert tables.KEPT  # importing the tables fills the metadata


def run() -> None:
    """Run the wanted migrations in one transaction."""
    context.configure(
        connection=context.config.attributes["connection"],
        target_metadata=Base.metadata,
        render_as_batch=True,  # SQLite cannot alter a column in place
        transactional_ddl=True,
        compare_type=True,
        render_item=written_out,
    )
    with context.begin_transaction():
        context.run_migrations()


run()
