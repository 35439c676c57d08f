"""A pour keeps what was poured; what the shop no longer uses is put away.

Pours of before are filled from the rows they name, as those stand.
"""

from collections.abc import Sequence
from datetime import time
from typing import Any

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0026"
down_revision: str | None = "0025"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

DOCUMENTS = ("openings", "label", "cement")
KEPT = {
    "piece": "name shape length_mm width_mm thickness_mm height_mm wall_mm exposed_to_frost"
    " openings",
    "mix": "kind name cement_kg_m3 water_cement activation_energy_kJ_mol"
    " activation_energy_error_kJ_mol datum_C initial_set_h final_set_h working_time_h"
    " working_time_C heat_kJ_kg hydration_tau_h hydration_beta hydration_ultimate density_kg_m3"
    " bag_kg bag_yield_l polymer_pct cement_class colour admixture label cement",
    "place": "name kind latitude longitude altitude_m lag_h offset_K hollow looks setpoint_C"
    " heated_from heated_to heater timezone",
    "mould": "name material thickness_mm piece_id",
    "sealer": "name chemistry coats diluted_coats recoat_min_h recoat_max_h min_C max_C"
    " max_rh_pct min_age_d dew_margin_K hold_h rain_free_h coverage_m2_l light_use_h full_use_h",
}


def upgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.add_column(sa.Column("poured", sa.JSON(), nullable=False, server_default="{}"))
    _fill()
    with op.batch_alter_table("pour") as batch_op:
        batch_op.alter_column("poured", server_default=None)
    for noun in KEPT:
        with op.batch_alter_table(noun) as batch_op:
            batch_op.add_column(sa.Column("archived_at", UTCDateTime(), nullable=True))


def downgrade() -> None:
    for noun in KEPT:
        with op.batch_alter_table(noun) as batch_op:
            batch_op.drop_column("archived_at")
    with op.batch_alter_table("pour") as batch_op:
        batch_op.drop_column("poured")


def _fill() -> None:
    connection = op.get_bind()
    keys = [sa.column(f"{noun}_id", sa.Integer()) for noun in KEPT]
    pour = sa.table("pour", sa.column("id", sa.Integer()), sa.column("poured", sa.JSON()), *keys)
    copies = {noun: _copies(connection, noun) for noun in KEPT}
    for row in connection.execute(sa.select(pour)).mappings().all():
        poured = {
            # a row that is not there is refused, with its name, when all is brought along
            noun: copies[noun][row[f"{noun}_id"]]
            for noun in KEPT
            if row[f"{noun}_id"] in copies[noun]
        }
        connection.execute(sa.update(pour).where(pour.c.id == row["id"]).values(poured=poured))


def _copies(connection: sa.Connection, noun: str) -> dict[int, dict[str, Any]]:
    columns = [sa.column(name, _type(name)) for name in KEPT[noun].split()]
    rows = sa.table(noun, sa.column("id", sa.Integer()), *columns)
    found = connection.execute(sa.select(rows)).mappings().all()
    return {row["id"]: {c.name: _plain(row[c.name]) for c in columns} for row in found}


def _type(name: str) -> Any:
    if name in DOCUMENTS:
        return sa.JSON()
    if name in ("heated_from", "heated_to"):
        return sa.Time()
    return sa.Boolean() if name == "exposed_to_frost" else sa.types.NullType()


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, time) else value
