# ruff: noqa: E501  texts of constraints
"""Every table of the first release."""

from collections.abc import Sequence

import sqlalchemy as sa
import sqlmodel.sql.sqltypes
from alembic import op

revision: str = "0001"
down_revision: str | None = None
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:

    op.create_table(
        "idempotency_key",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("key", sqlmodel.sql.sqltypes.AutoString(length=200), nullable=False),
        sa.Column("request_hash", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("answer", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_idempotency_key")),
        sa.UniqueConstraint("key", name=op.f("uq_idempotency_key_key")),
    )
    op.create_table(
        "mix",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("label", sa.JSON(), nullable=False),
        sa.Column("cement_kg_m3", sa.Float(), nullable=True),
        sa.Column("water_cement", sa.Float(), nullable=True),
        sa.Column("activation_energy_kJ_mol", sa.Float(), nullable=True),
        sa.Column("datum_C", sa.Float(), nullable=True),
        sa.Column("initial_set_h", sa.Float(), nullable=True),
        sa.Column("final_set_h", sa.Float(), nullable=True),
        sa.Column("heat_kJ_kg", sa.Float(), nullable=True),
        sa.Column("hydration_tau_h", sa.Float(), nullable=True),
        sa.Column("hydration_beta", sa.Float(), nullable=True),
        sa.Column("hydration_ultimate", sa.Float(), nullable=True),
        sa.Column("density_kg_m3", sa.Float(), nullable=False),
        sa.Column("bag_kg", sa.Float(), nullable=True),
        sa.Column("bag_yield_l", sa.Float(), nullable=True),
        sa.CheckConstraint("cement_kg_m3 > 0", name=op.f("ck_mix_cement_positive")),
        sa.CheckConstraint("density_kg_m3 > 0", name=op.f("ck_mix_density_positive")),
        sa.CheckConstraint("final_set_h > initial_set_h", name=op.f("ck_mix_set_order")),
        sa.CheckConstraint(
            "water_cement BETWEEN 0.2 AND 0.9", name=op.f("ck_mix_water_cement_range")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_mix")),
        sa.UniqueConstraint("name", name=op.f("uq_mix_name")),
    )
    op.create_table(
        "piece",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("shape", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("length_mm", sa.Float(), nullable=False),
        sa.Column("width_mm", sa.Float(), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=True),
        sa.Column("height_mm", sa.Float(), nullable=True),
        sa.Column("wall_mm", sa.Float(), nullable=True),
        sa.Column("openings", sa.JSON(), nullable=False),
        sa.Column("exposed_to_frost", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "(shape = 'panel' AND thickness_mm IS NOT NULL) OR (shape = 'block' AND height_mm IS NOT NULL) OR (shape = 'box' AND height_mm IS NOT NULL AND wall_mm IS NOT NULL)",
            name=op.f("ck_piece_shape_measures"),
        ),
        sa.CheckConstraint(
            "length_mm > 0 AND width_mm > 0", name=op.f("ck_piece_measures_positive")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_piece")),
        sa.UniqueConstraint("name", name=op.f("uq_piece_name")),
    )
    op.create_table(
        "place",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("latitude", sa.Float(), nullable=True),
        sa.Column("longitude", sa.Float(), nullable=True),
        sa.Column("timezone", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("lag_h", sa.Float(), nullable=True),
        sa.Column("offset_K", sa.Float(), nullable=True),
        sa.Column("setpoint_C", sa.Float(), nullable=True),
        sa.CheckConstraint(
            "(latitude IS NULL) = (longitude IS NULL)", name=op.f("ck_place_both_or_none")
        ),
        sa.CheckConstraint(
            "kind <> 'heated room' OR \"setpoint_C\" IS NOT NULL",
            name=op.f("ck_place_heated_setpoint"),
        ),
        sa.CheckConstraint("lag_h > 0", name=op.f("ck_place_lag_positive")),
        sa.CheckConstraint("latitude BETWEEN -90 AND 90", name=op.f("ck_place_latitude_range")),
        sa.CheckConstraint("longitude BETWEEN -180 AND 180", name=op.f("ck_place_longitude_range")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_place")),
        sa.UniqueConstraint("name", name=op.f("uq_place_name")),
    )
    op.create_table(
        "sealer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("chemistry", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("coats", sa.Integer(), nullable=True),
        sa.Column("diluted_coats", sa.Integer(), nullable=True),
        sa.Column("recoat_min_h", sa.Float(), nullable=True),
        sa.Column("recoat_max_h", sa.Float(), nullable=True),
        sa.Column("min_C", sa.Float(), nullable=True),
        sa.Column("max_C", sa.Float(), nullable=True),
        sa.Column("max_rh_pct", sa.Float(), nullable=True),
        sa.Column("min_age_d", sa.Float(), nullable=True),
        sa.CheckConstraint('"max_C" >= "min_C"', name=op.f("ck_sealer_range_order")),
        sa.CheckConstraint("coats >= 1", name=op.f("ck_sealer_coats_positive")),
        sa.CheckConstraint("diluted_coats <= coats", name=op.f("ck_sealer_diluted_within")),
        sa.CheckConstraint("recoat_max_h >= recoat_min_h", name=op.f("ck_sealer_recoat_order")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sealer")),
        sa.UniqueConstraint("name", name=op.f("uq_sealer_name")),
    )
    op.create_table(
        "shop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("timezone", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("confidence", sa.Float(), nullable=False),
        sa.Column("working_from", sa.Time(), nullable=False),
        sa.Column("working_to", sa.Time(), nullable=False),
        sa.Column("quiet_from", sa.Time(), nullable=False),
        sa.Column("quiet_to", sa.Time(), nullable=False),
        sa.Column("covers", sa.JSON(), nullable=False),
        sa.Column("needs_MPa", sa.JSON(), nullable=False),
        sa.Column("notice_addresses", sa.JSON(), nullable=False),
        sa.Column("feed_token", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint(
            "confidence >= 0.8 AND confidence <= 0.99", name=op.f("ck_shop_confidence_range")
        ),
        sa.CheckConstraint("id = 1", name=op.f("ck_shop_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop")),
        sa.UniqueConstraint("feed_token", name=op.f("uq_shop_feed_token")),
    )
    op.create_table(
        "mould",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("material", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=False),
        sa.Column("piece_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("thickness_mm > 0", name=op.f("ck_mould_thickness_positive")),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_mould_piece_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_mould")),
        sa.UniqueConstraint("name", name=op.f("uq_mould_name")),
    )
    with op.batch_alter_table("mould", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_mould_piece_id"), ["piece_id"], unique=False)

    op.create_table(
        "weather_run",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("place_id", sa.Integer(), nullable=False),
        sa.Column("provider", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("typed", sa.Boolean(), nullable=False),
        sa.Column("issued_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("fetched_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("start_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("hour_count", sa.Integer(), nullable=False),
        sa.Column("hours", sa.JSON(), nullable=False),
        sa.CheckConstraint("hour_count > 0", name=op.f("ck_weather_run_has_hours")),
        sa.ForeignKeyConstraint(
            ["place_id"], ["place.id"], name=op.f("fk_weather_run_place_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_weather_run")),
    )
    with op.batch_alter_table("weather_run", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_weather_run_fetched_at"), ["fetched_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_weather_run_place_id"), ["place_id"], unique=False)

    op.create_table(
        "pour",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("mix_id", sa.Integer(), nullable=False),
        sa.Column("mould_id", sa.Integer(), nullable=True),
        sa.Column("piece_id", sa.Integer(), nullable=False),
        sa.Column("place_id", sa.Integer(), nullable=False),
        sa.Column("sealer_id", sa.Integer(), nullable=True),
        sa.Column("placed_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("concrete_C", sa.Float(), nullable=True),
        sa.Column("water_added_l", sa.Float(), nullable=False),
        sa.Column("bags", sa.Float(), nullable=True),
        sa.Column("note", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("closed_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("closed_why", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint('"concrete_C" BETWEEN 1 AND 50', name=op.f("ck_pour_concrete_range")),
        sa.CheckConstraint("bags > 0", name=op.f("ck_pour_bags_positive")),
        sa.CheckConstraint("water_added_l >= 0", name=op.f("ck_pour_water_not_negative")),
        sa.ForeignKeyConstraint(["mix_id"], ["mix.id"], name=op.f("fk_pour_mix_id")),
        sa.ForeignKeyConstraint(["mould_id"], ["mould.id"], name=op.f("fk_pour_mould_id")),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_pour_piece_id")),
        sa.ForeignKeyConstraint(["place_id"], ["place.id"], name=op.f("fk_pour_place_id")),
        sa.ForeignKeyConstraint(["sealer_id"], ["sealer.id"], name=op.f("fk_pour_sealer_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pour")),
    )
    with op.batch_alter_table("pour", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_pour_mix_id"), ["mix_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_pour_mould_id"), ["mould_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_pour_piece_id"), ["piece_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_pour_place_id"), ["place_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_pour_placed_at"), ["placed_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_pour_sealer_id"), ["sealer_id"], unique=False)

    op.create_table(
        "duty",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("key", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("place_id", sa.Integer(), nullable=True),
        sa.Column("pour_id", sa.Integer(), nullable=True),
        sa.Column("due_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("asked", sa.Integer(), nullable=False),
        sa.Column("claimed_until", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("attempt", sa.Integer(), nullable=False),
        sa.Column("succeeded_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("failed_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("failure", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint(
            "(kind = 'weather' AND place_id IS NOT NULL AND pour_id IS NULL) OR (kind = 'projection' AND pour_id IS NOT NULL AND place_id IS NULL) OR (kind = 'beat' AND pour_id IS NULL AND place_id IS NULL)",
            name=op.f("ck_duty_subject"),
        ),
        sa.CheckConstraint("attempt >= 0", name=op.f("ck_duty_attempt_not_negative")),
        sa.ForeignKeyConstraint(
            ["place_id"], ["place.id"], name=op.f("fk_duty_place_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_duty_pour_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_duty")),
        sa.UniqueConstraint("key", name=op.f("uq_duty_key")),
    )
    with op.batch_alter_table("duty", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_duty_due_at"), ["due_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_duty_place_id"), ["place_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_duty_pour_id"), ["pour_id"], unique=False)

    op.create_table(
        "projection",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("pour_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("checked_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("weather_run_id", sa.Integer(), nullable=True),
        sa.Column("inputs", sa.JSON(), nullable=False),
        sa.Column("answer", sa.JSON(), nullable=False),
        sa.Column("concrete", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("why_moved", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_projection_pour_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["weather_run_id"],
            ["weather_run.id"],
            name=op.f("fk_projection_weather_run_id"),
            ondelete="SET NULL",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_projection")),
    )
    with op.batch_alter_table("projection", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_projection_pour_id"), ["pour_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_projection_weather_run_id"), ["weather_run_id"], unique=False
        )

    op.create_table(
        "protection_period",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("pour_id", sa.Integer(), nullable=False),
        sa.Column("from_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("to_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("R_m2K_W", sa.Float(), nullable=True),
        sa.Column("setpoint_C", sa.Float(), nullable=True),
        sa.Column("faces", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint(
            "faces IN ('top', 'all')", name=op.f("ck_protection_period_faces_known")
        ),
        sa.CheckConstraint(
            '"R_m2K_W" >= 0', name=op.f("ck_protection_period_resistance_not_negative")
        ),
        sa.CheckConstraint("to_at > from_at", name=op.f("ck_protection_period_ends_after_start")),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_protection_period_pour_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_protection_period")),
    )
    with op.batch_alter_table("protection_period", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_protection_period_pour_id"), ["pour_id"], unique=False)

    op.create_table(
        "reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("pour_id", sa.Integer(), nullable=False),
        sa.Column("place_id", sa.Integer(), nullable=False),
        sa.Column("at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("value_C", sa.Float(), nullable=False),
        sa.Column("value_max_C", sa.Float(), nullable=True),
        sa.Column("span_h", sa.Float(), nullable=False),
        sa.Column("note", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint(
            '"value_C" BETWEEN -50 AND 95 AND ("value_max_C" IS NULL OR "value_max_C" >= "value_C")',
            name=op.f("ck_reading_value_range"),
        ),
        sa.CheckConstraint("span_h > 0", name=op.f("ck_reading_span_positive")),
        sa.ForeignKeyConstraint(["place_id"], ["place.id"], name=op.f("fk_reading_place_id")),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_reading_pour_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading")),
    )
    with op.batch_alter_table("reading", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_reading_place_id"), ["place_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_reading_pour_id"), ["pour_id"], unique=False)

    op.create_table(
        "reminder",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("pour_id", sa.Integer(), nullable=False),
        sa.Column("step", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.Column("key", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("window_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("due_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("not_after", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("state", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("claimed_until", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("attempt", sa.Integer(), nullable=False),
        sa.Column("done_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("superseded_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("changed_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("changes", sa.Integer(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.CheckConstraint(
            "kind IN ('opens', 'closes', 'correction', 'frost')",
            name=op.f("ck_reminder_kind_known"),
        ),
        sa.CheckConstraint(
            "state IN ('waiting', 'held', 'sent', 'listed', 'cancelled', 'expired', 'failed')",
            name=op.f("ck_reminder_state_known"),
        ),
        sa.CheckConstraint(
            "attempt >= 0 AND changes >= 0 AND round >= 1", name=op.f("ck_reminder_counts")
        ),
        sa.CheckConstraint("not_after >= due_at", name=op.f("ck_reminder_ends_after_due")),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_reminder_pour_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reminder")),
        sa.UniqueConstraint("key", name=op.f("uq_reminder_key")),
    )
    with op.batch_alter_table("reminder", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_reminder_due_at"), ["due_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_reminder_pour_id"), ["pour_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_reminder_state"), ["state"], unique=False)

    op.create_table(
        "step_done",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("pour_id", sa.Integer(), nullable=False),
        sa.Column("step", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("undone_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_step_done_pour_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_step_done")),
    )
    with op.batch_alter_table("step_done", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_step_done_pour_id"), ["pour_id"], unique=False)
        batch_op.create_index(
            "uq_step_done_standing",
            ["pour_id", "step"],
            unique=True,
            sqlite_where=sa.text("undone_at IS NULL"),
            postgresql_where=sa.text("undone_at IS NULL"),
        )

    op.create_table(
        "strength_test",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("pour_id", sa.Integer(), nullable=False),
        sa.Column("at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("MPa", sa.Float(), nullable=False),
        sa.Column("note", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint('"MPa" > 0', name=op.f("ck_strength_test_strength_positive")),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_strength_test_pour_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_strength_test")),
    )
    with op.batch_alter_table("strength_test", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_strength_test_pour_id"), ["pour_id"], unique=False)

    op.create_table(
        "delivery",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("reminder_id", sa.Integer(), nullable=False),
        sa.Column("channel", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("attempt", sa.Integer(), nullable=False),
        sa.Column("at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("finished_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("outcome", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("reason", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint(
            "outcome IN ('started', 'sent', 'failed', 'refused')",
            name=op.f("ck_delivery_outcome_known"),
        ),
        sa.ForeignKeyConstraint(
            ["reminder_id"],
            ["reminder.id"],
            name=op.f("fk_delivery_reminder_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_delivery")),
    )
    with op.batch_alter_table("delivery", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_delivery_reminder_id"), ["reminder_id"], unique=False)


def downgrade() -> None:

    with op.batch_alter_table("delivery", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_delivery_reminder_id"))

    op.drop_table("delivery")
    with op.batch_alter_table("strength_test", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_strength_test_pour_id"))

    op.drop_table("strength_test")
    with op.batch_alter_table("step_done", schema=None) as batch_op:
        batch_op.drop_index(
            "uq_step_done_standing",
            sqlite_where=sa.text("undone_at IS NULL"),
            postgresql_where=sa.text("undone_at IS NULL"),
        )
        batch_op.drop_index(batch_op.f("ix_step_done_pour_id"))

    op.drop_table("step_done")
    with op.batch_alter_table("reminder", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_reminder_state"))
        batch_op.drop_index(batch_op.f("ix_reminder_pour_id"))
        batch_op.drop_index(batch_op.f("ix_reminder_due_at"))

    op.drop_table("reminder")
    with op.batch_alter_table("reading", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_reading_pour_id"))
        batch_op.drop_index(batch_op.f("ix_reading_place_id"))

    op.drop_table("reading")
    with op.batch_alter_table("protection_period", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_protection_period_pour_id"))

    op.drop_table("protection_period")
    with op.batch_alter_table("projection", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_projection_weather_run_id"))
        batch_op.drop_index(batch_op.f("ix_projection_pour_id"))

    op.drop_table("projection")
    with op.batch_alter_table("duty", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_duty_pour_id"))
        batch_op.drop_index(batch_op.f("ix_duty_place_id"))
        batch_op.drop_index(batch_op.f("ix_duty_due_at"))

    op.drop_table("duty")
    with op.batch_alter_table("pour", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_pour_sealer_id"))
        batch_op.drop_index(batch_op.f("ix_pour_placed_at"))
        batch_op.drop_index(batch_op.f("ix_pour_place_id"))
        batch_op.drop_index(batch_op.f("ix_pour_piece_id"))
        batch_op.drop_index(batch_op.f("ix_pour_mould_id"))
        batch_op.drop_index(batch_op.f("ix_pour_mix_id"))

    op.drop_table("pour")
    with op.batch_alter_table("weather_run", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_weather_run_place_id"))
        batch_op.drop_index(batch_op.f("ix_weather_run_fetched_at"))

    op.drop_table("weather_run")
    with op.batch_alter_table("mould", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_mould_piece_id"))

    op.drop_table("mould")
    op.drop_table("shop")
    op.drop_table("sealer")
    op.drop_table("place")
    op.drop_table("piece")
    op.drop_table("mix")
    op.drop_table("idempotency_key")
