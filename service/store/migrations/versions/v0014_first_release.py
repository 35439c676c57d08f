"""Every table as it was when the first release was made.

Databases of the revisions before it are brought here by `service.store.migrations.lift`.
"""

from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa
from alembic import op
from sqlalchemy.types import TypeEngine
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0014"
down_revision: str | None = None

FLOAT, INTEGER, TEXT = sa.Float(), sa.Integer(), sa.String()
INSTANT, JSON = UTCDateTime(), sa.JSON()


def upgrade() -> None:
    table(
        "idempotency_key",
        column("key", sa.String(200), unique=True),
        *columns(TEXT, "request_hash"),
        *columns(INTEGER, "status"),
        *columns(JSON, "answer"),
    )
    table(
        "mix",
        column("name", TEXT, unique=True),
        *columns(TEXT, "kind"),
        *columns(JSON, "label"),
        *columns(
            FLOAT,
            "cement_kg_m3 water_cement activation_energy_kJ_mol activation_energy_error_kJ_mol "
            "datum_C initial_set_h final_set_h heat_kJ_kg hydration_tau_h hydration_beta "
            "hydration_ultimate bag_kg bag_yield_l learned_strength_factor learned_strength_sd "
            "learned_set_factor learned_set_sd",
            null=True,
        ),
        *columns(FLOAT, "density_kg_m3"),
        *columns(TEXT, "admixture", null=True),
        *columns(JSON, "cement", null=True),
        *columns(INTEGER, "learned_from_count", null=True),
        *columns(INSTANT, "learned_at forgotten_at", null=True),
        check("cement_positive", "cement_kg_m3 > 0"),
        check("density_positive", "density_kg_m3 > 0"),
        check("set_order", "final_set_h > initial_set_h"),
        check("water_cement_range", "water_cement BETWEEN 0.2 AND 0.9"),
    )
    table(
        "piece",
        column("name", TEXT, unique=True),
        *columns(TEXT, "shape"),
        *columns(FLOAT, "length_mm width_mm"),
        *columns(FLOAT, "thickness_mm height_mm wall_mm", null=True),
        *columns(JSON, "openings"),
        *columns(sa.Boolean(), "exposed_to_frost"),
        check("measures_positive", "length_mm > 0 AND width_mm > 0"),
        check(
            "shape_measures",
            "(shape = 'panel' AND thickness_mm IS NOT NULL) OR (shape = 'block' AND height_mm IS "
            "NOT NULL) OR (shape = 'box' AND height_mm IS NOT NULL AND wall_mm IS NOT NULL)",
        ),
    )
    table(
        "place",
        column("name", TEXT, unique=True),
        *columns(TEXT, "kind timezone"),
        *columns(
            FLOAT,
            "latitude longitude altitude_m lag_h offset_K setpoint_C learned_lag_h "
            "learned_lag_spread learned_offset_K learned_offset_sd_K",
            null=True,
        ),
        *columns(sa.Time(), "heated_from heated_to", null=True),
        *columns(TEXT, "heater", null=True),
        *columns(INTEGER, "learned_from_count", null=True),
        *columns(INSTANT, "learned_at forgotten_at", null=True),
        *columns(JSON, "learned_forecast official_alerts", null=True),
        check("altitude_range", "altitude_m BETWEEN -500 AND 9000"),
        check("both_or_none", "(latitude IS NULL) = (longitude IS NULL)"),
        check("heated_both_or_none", "(heated_from IS NULL) = (heated_to IS NULL)"),
        check("heated_setpoint", "kind <> 'heated room' OR \"setpoint_C\" IS NOT NULL"),
        check("lag_positive", "lag_h > 0"),
        check("latitude_range", "latitude BETWEEN -90 AND 90"),
        check("longitude_range", "longitude BETWEEN -180 AND 180"),
    )
    table(
        "sealer",
        column("name", TEXT, unique=True),
        *columns(TEXT, "chemistry"),
        *columns(INTEGER, "coats diluted_coats", null=True),
        *columns(
            FLOAT,
            "recoat_min_h recoat_max_h min_C max_C max_rh_pct min_age_d dew_margin_K hold_h "
            "rain_free_h coverage_m2_l light_use_h full_use_h",
            null=True,
        ),
        check("coats_positive", "coats >= 1"),
        check("diluted_within", "diluted_coats <= coats"),
        check("range_order", '"max_C" >= "min_C"'),
        check("recoat_order", "recoat_max_h >= recoat_min_h"),
        check("use_order", "full_use_h >= light_use_h"),
    )
    table(
        "shop",
        column("feed_token", TEXT, unique=True),
        *columns(TEXT, "name timezone"),
        *columns(FLOAT, "confidence"),
        *columns(sa.Time(), "working_from working_to quiet_from quiet_to"),
        *columns(JSON, "covers needs_MPa notice_addresses"),
        *columns(TEXT, "units", null=True),
        check("confidence_range", "confidence >= 0.8 AND confidence <= 0.99"),
        check("one_row", "id = 1"),
        check("units_known", "units IN ('si', 'us')"),
    )
    table(
        "mould",
        column("name", TEXT, unique=True),
        reference("piece", null=True),
        *columns(TEXT, "material"),
        *columns(FLOAT, "thickness_mm"),
        check("thickness_positive", "thickness_mm > 0"),
    )
    table(
        "weather_run",
        reference("place", ondelete="CASCADE"),
        column("fetched_at", INSTANT, index=True),
        *columns(TEXT, "provider"),
        *columns(sa.Boolean(), "typed"),
        *columns(INSTANT, "issued_at start_at"),
        *columns(INTEGER, "hour_count"),
        *columns(JSON, "hours"),
        *columns(JSON, "ensemble", null=True),
        check("has_hours", "hour_count > 0"),
    )
    table(
        "pour",
        reference("mix"),
        reference("mould", null=True),
        reference("piece"),
        reference("place"),
        reference("sealer", null=True),
        column("placed_at", INSTANT, index=True),
        *columns(FLOAT, "concrete_C bags bag_C water_C board_C", null=True),
        *columns(FLOAT, "water_added_l"),
        *columns(TEXT, "note closed_why"),
        *columns(INSTANT, "closed_at", null=True),
        *columns(JSON, "learned", null=True),
        check("bags_positive", "bags > 0"),
        check("concrete_range", '"concrete_C" BETWEEN 1 AND 50'),
        check("water_not_negative", "water_added_l >= 0"),
    )
    table(
        "batch",
        reference("pour", ondelete="CASCADE"),
        *columns(INSTANT, "at"),
        *columns(FLOAT, "bags water_l concrete_C", null=True),
        *columns(TEXT, "note"),
        check("bags_positive", "bags > 0"),
        check("concrete_range", '"concrete_C" BETWEEN 1 AND 50'),
        check("water_not_negative", "water_l >= 0"),
    )
    table(
        "duty",
        column("key", TEXT, unique=True),
        reference("place", null=True, ondelete="CASCADE"),
        reference("pour", null=True, ondelete="CASCADE"),
        column("due_at", INSTANT, index=True),
        *columns(TEXT, "kind failure"),
        *columns(INTEGER, "asked attempt"),
        *columns(INSTANT, "claimed_until succeeded_at failed_at", null=True),
        check("attempt_not_negative", "attempt >= 0"),
        check(
            "subject",
            "(kind = 'weather' AND place_id IS NOT NULL AND pour_id IS NULL) OR (kind = "
            "'projection' AND pour_id IS NOT NULL AND place_id IS NULL) OR (kind = 'beat' AND "
            "pour_id IS NULL AND place_id IS NULL)",
        ),
    )
    table(
        "photo",
        reference("pour", ondelete="CASCADE"),
        *columns(INSTANT, "at"),
        *columns(TEXT, "step", null=True),
        *columns(TEXT, "note media_type sha256"),
        *columns(INTEGER, "size_bytes"),
        *columns(sa.LargeBinary(), "content"),
        check("media_type_known", "media_type IN ('image/jpeg', 'image/png', 'image/webp')"),
        check("size_range", "size_bytes BETWEEN 1 AND 8000000"),
    )
    table(
        "projection",
        reference("pour", ondelete="CASCADE"),
        reference("weather_run", null=True, ondelete="SET NULL"),
        *columns(INSTANT, "made_at checked_at"),
        *columns(JSON, "inputs answer"),
        *columns(JSON, "concrete", null=True),
        *columns(TEXT, "why_moved"),
    )
    table(
        "protection_period",
        reference("pour", ondelete="CASCADE"),
        *columns(INSTANT, "from_at"),
        *columns(INSTANT, "to_at", null=True),
        *columns(TEXT, "kind faces"),
        *columns(FLOAT, "R_m2K_W setpoint_C", null=True),
        *columns(TEXT, "heater", null=True),
        check("ends_after_start", "to_at > from_at"),
        check("faces_known", "faces IN ('top', 'all')"),
        check("resistance_not_negative", '"R_m2K_W" >= 0'),
    )
    table(
        "reading",
        reference("pour", ondelete="CASCADE"),
        reference("place"),
        *columns(INSTANT, "at"),
        *columns(TEXT, "kind note"),
        *columns(FLOAT, "value_C span_h"),
        *columns(FLOAT, "value_max_C mass_g rh_pct", null=True),
        *columns(sa.Boolean(), "wrong"),
        check("humidity_range", "rh_pct BETWEEN 1 AND 100"),
        check("mass_positive", "mass_g > 0"),
        check("span_positive", "span_h > 0"),
        check(
            "value_range",
            '"value_C" BETWEEN -50 AND 95 AND ("value_max_C" IS NULL OR "value_max_C" >= '
            '"value_C")',
        ),
    )
    table(
        "reminder",
        reference("pour", ondelete="CASCADE"),
        column("key", TEXT, unique=True),
        column("due_at", INSTANT, index=True),
        column("state", TEXT, index=True),
        *columns(TEXT, "step kind"),
        *columns(INTEGER, "round attempt changes"),
        *columns(INSTANT, "window_at not_after changed_at"),
        *columns(INSTANT, "claimed_until done_at superseded_at", null=True),
        *columns(JSON, "facts"),
        check("counts", "attempt >= 0 AND changes >= 0 AND round >= 1"),
        check("ends_after_due", "not_after >= due_at"),
        check("kind_known", "kind IN ('opens', 'closes', 'correction', 'frost', 'rain', 'wind')"),
        check(
            "state_known",
            "state IN ('waiting', 'held', 'sent', 'listed', 'cancelled', 'expired', 'failed')",
        ),
    )
    table(
        "step_done",
        reference("pour", ondelete="CASCADE"),
        *columns(TEXT, "step"),
        *columns(INSTANT, "at"),
        *columns(INSTANT, "undone_at", null=True),
    )
    table(
        "strength_test",
        reference("pour", ondelete="CASCADE"),
        *columns(INSTANT, "at"),
        *columns(TEXT, "kind note"),
        *columns(FLOAT, "MPa"),
        check("strength_positive", '"MPa" > 0'),
    )
    table(
        "delivery",
        reference("reminder", ondelete="CASCADE"),
        *columns(TEXT, "channel outcome reason"),
        *columns(INTEGER, "attempt"),
        *columns(INSTANT, "at"),
        *columns(INSTANT, "finished_at", null=True),
        check("outcome_known", "outcome IN ('started', 'sent', 'failed', 'refused')"),
    )
    op.create_index(
        "uq_step_done_standing",
        "step_done",
        ["pour_id", "step"],
        unique=True,
        sqlite_where=sa.text("undone_at IS NULL"),
        postgresql_where=sa.text("undone_at IS NULL"),
    )


def downgrade() -> None:
    raise NotImplementedError("nothing came before the first release")


def table(name: str, *parts: sa.Column[Any] | sa.CheckConstraint) -> None:
    """A table with the key and the instant that all have; names by the models' convention."""
    key = sa.Column("id", INTEGER, primary_key=True)
    op.create_table(name, key, column("created_at", INSTANT), *parts)


def column(
    name: str,
    kind: TypeEngine[Any],
    null: bool = False,
    unique: bool | None = None,
    index: bool = False,
) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=null, unique=unique, index=index)


def columns(kind: TypeEngine[Any], names: str, null: bool = False) -> Iterator[sa.Column[Any]]:
    """Columns of one kind; `names` with blanks between."""
    return (column(name, kind, null) for name in names.split())


def reference(target: str, null: bool = False, ondelete: str | None = None) -> sa.Column[Any]:
    """The column that holds the key of a row of another table, indexed."""
    key = sa.ForeignKey(f"{target}.id", ondelete=ondelete)
    return sa.Column(f"{target}_id", INTEGER, key, nullable=null, index=True)


def check(name: str, condition: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(condition, name=name)
