"""The first tables: operation, yard, colony, visit, reading, weather, bloom, figure edit."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "figure_edit",
        sa.Column("figure", sa.String(), nullable=False),
        sa.Column("low", sa.Double(), nullable=False),
        sa.Column("typical", sa.Double(), nullable=False),
        sa.Column("high", sa.Double(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["replaces"], ["figure_edit.id"], name=op.f("fk_figure_edit_replaces_figure_edit")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_figure_edit")),
        sa.UniqueConstraint("replaces", name=op.f("uq_figure_edit_replaces")),
    )
    op.create_index(op.f("ix_figure_edit_figure"), "figure_edit", ["figure"], unique=False)
    op.create_table(
        "operation",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_operation")),
    )
    op.create_table(
        "yard",
        sa.Column("operation_id", sa.Uuid(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["operation_id"], ["operation.id"], name=op.f("fk_yard_operation_id_operation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_yard")),
    )
    op.create_index(op.f("ix_yard_operation_id"), "yard", ["operation_id"], unique=False)
    op.create_table(
        "bloom",
        sa.Column("yard_id", sa.Uuid(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("start_month", sa.Integer(), nullable=True),
        sa.Column("start_day", sa.Integer(), nullable=True),
        sa.Column("end_month", sa.Integer(), nullable=True),
        sa.Column("end_day", sa.Integer(), nullable=True),
        sa.Column("strength", sa.Double(), nullable=False),
        sa.Column("nectar", sa.Double(), nullable=False),
        sa.Column("protein_pct", sa.Double(), nullable=True),
        sa.Column("sum_c", sa.Double(), nullable=True),
        sa.Column("base_c", sa.Double(), nullable=True),
        sa.Column("cap_c", sa.Double(), nullable=True),
        sa.Column("method", sa.String(), nullable=True),
        sa.Column("sum_month", sa.Integer(), nullable=True),
        sa.Column("sum_day", sa.Integer(), nullable=True),
        sa.Column("lasts_days", sa.Integer(), nullable=True),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["replaces"], ["bloom.id"], name=op.f("fk_bloom_replaces_bloom")),
        sa.ForeignKeyConstraint(["yard_id"], ["yard.id"], name=op.f("fk_bloom_yard_id_yard")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bloom")),
        sa.UniqueConstraint("replaces", name=op.f("uq_bloom_replaces")),
    )
    op.create_index(op.f("ix_bloom_yard_id"), "bloom", ["yard_id"], unique=False)
    op.create_table(
        "colony",
        sa.Column("yard_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["yard_id"], ["yard.id"], name=op.f("fk_colony_yard_id_yard")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_colony")),
    )
    op.create_index(op.f("ix_colony_yard_id"), "colony", ["yard_id"], unique=False)
    op.create_table(
        "visit",
        sa.Column("yard_id", sa.Uuid(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("colonies_looked_in", sa.Integer(), nullable=True),
        sa.Column("start", sa.String(), nullable=True),
        sa.Column("boxes", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("frames_per_box", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["replaces"], ["visit.id"], name=op.f("fk_visit_replaces_visit")),
        sa.ForeignKeyConstraint(["yard_id"], ["yard.id"], name=op.f("fk_visit_yard_id_yard")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_visit")),
        sa.UniqueConstraint("replaces", name=op.f("uq_visit_replaces")),
    )
    op.create_index("ix_visit_yard_on", "visit", ["yard_id", "on"], unique=False)
    op.create_table(
        "weather",
        sa.Column("yard_id", sa.Uuid(), nullable=True),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("licence", sa.String(), nullable=False),
        sa.Column("latitude", sa.Double(), nullable=True),
        sa.Column("longitude", sa.Double(), nullable=True),
        sa.Column("utc_offset_hours", sa.Double(), nullable=True),
        sa.Column("notes", sa.JSON(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["yard_id"], ["yard.id"], name=op.f("fk_weather_yard_id_yard")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_weather")),
    )
    op.create_index(op.f("ix_weather_sha256"), "weather", ["sha256"], unique=False)
    op.create_index(op.f("ix_weather_yard_id"), "weather", ["yard_id"], unique=False)
    op.create_table(
        "yard_fact",
        sa.Column("yard_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("latitude", sa.Double(), nullable=False),
        sa.Column("longitude", sa.Double(), nullable=True),
        sa.Column("country", sa.String(), nullable=True),
        sa.Column("region", sa.String(), nullable=True),
        sa.Column("colonies_in_flight_range", sa.Double(), nullable=True),
        sa.Column("colonies", sa.Integer(), nullable=False),
        sa.Column("kept_for", sa.String(), nullable=False),
        sa.Column("aim", sa.String(), nullable=True),
        sa.Column("aim_on", sa.Date(), nullable=True),
        sa.Column("aim_frames", sa.Double(), nullable=True),
        sa.Column("first_reliable_pollen", sa.Date(), nullable=True),
        sa.Column("supers_from", sa.Date(), nullable=True),
        sa.Column("wants_feed_because", sa.String(), nullable=False),
        sa.Column("notes", sa.JSON(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["replaces"], ["yard_fact.id"], name=op.f("fk_yard_fact_replaces_yard_fact")),
        sa.ForeignKeyConstraint(["yard_id"], ["yard.id"], name=op.f("fk_yard_fact_yard_id_yard")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_yard_fact")),
        sa.UniqueConstraint("replaces", name=op.f("uq_yard_fact_replaces")),
    )
    op.create_index(op.f("ix_yard_fact_yard_id"), "yard_fact", ["yard_id"], unique=False)
    op.create_table(
        "reading",
        sa.Column("visit_id", sa.Uuid(), nullable=False),
        sa.Column("colony_id", sa.Uuid(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("value", sa.Double(), nullable=True),
        sa.Column("out_of", sa.Double(), nullable=True),
        sa.Column("word", sa.String(), nullable=True),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("definition", sa.String(), nullable=True),
        sa.Column("on", sa.Date(), nullable=True),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("replaces", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["colony_id"], ["colony.id"], name=op.f("fk_reading_colony_id_colony")),
        sa.ForeignKeyConstraint(["replaces"], ["reading.id"], name=op.f("fk_reading_replaces_reading")),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"], name=op.f("fk_reading_visit_id_visit")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading")),
        sa.UniqueConstraint("replaces", name=op.f("uq_reading_replaces")),
    )
    op.create_index(op.f("ix_reading_visit_id"), "reading", ["visit_id"], unique=False)


def downgrade() -> None:
    """Drop the tables."""
    op.drop_index(op.f("ix_reading_visit_id"), table_name="reading")
    op.drop_table("reading")
    op.drop_index(op.f("ix_yard_fact_yard_id"), table_name="yard_fact")
    op.drop_table("yard_fact")
    op.drop_index(op.f("ix_weather_yard_id"), table_name="weather")
    op.drop_index(op.f("ix_weather_sha256"), table_name="weather")
    op.drop_table("weather")
    op.drop_index("ix_visit_yard_on", table_name="visit")
    op.drop_table("visit")
    op.drop_index(op.f("ix_colony_yard_id"), table_name="colony")
    op.drop_table("colony")
    op.drop_index(op.f("ix_bloom_yard_id"), table_name="bloom")
    op.drop_table("bloom")
    op.drop_index(op.f("ix_yard_operation_id"), table_name="yard")
    op.drop_table("yard")
    op.drop_table("operation")
    op.drop_index(op.f("ix_figure_edit_figure"), table_name="figure_edit")
    op.drop_table("figure_edit")
