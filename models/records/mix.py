"""A mix as the bag or the maker says it."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field

from models.records.base import Row


class Mix(Row, table=True):
    """`kind` is the class of mix; `label` a list of {age_h, MPa, temperature_C}; `cement` the sheet
    of the mill, fields of models.concrete.composition.

    `learned_*` is never typed; pours placed up to `forgotten_at` teach nothing any more.
    """

    __tablename__ = "mix"
    __table_args__ = (
        CheckConstraint("water_cement BETWEEN 0.2 AND 0.9", name="water_cement_range"),
        CheckConstraint("cement_kg_m3 > 0", name="cement_positive"),
        CheckConstraint("density_kg_m3 > 0", name="density_positive"),
        CheckConstraint("final_set_h > initial_set_h", name="set_order"),
    )

    name: str = Field(unique=True)
    kind: str
    label: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
    cement_kg_m3: float | None = None
    water_cement: float | None = None
    activation_energy_kJ_mol: float | None = None
    activation_energy_error_kJ_mol: float | None = None  # standard error of the fit it comes from
    datum_C: float | None = None
    initial_set_h: float | None = None
    final_set_h: float | None = None
    heat_kJ_kg: float | None = None
    hydration_tau_h: float | None = None
    hydration_beta: float | None = None
    hydration_ultimate: float | None = None
    density_kg_m3: float = 2300.0
    bag_kg: float | None = None
    bag_yield_l: float | None = None
    admixture: str | None = None
    cement: dict[str, float] | None = Field(default=None, sa_type=JSON)
    learned_strength_factor: float | None = None
    learned_strength_sd: float | None = None  # of the logarithm
    learned_set_factor: float | None = None
    learned_set_sd: float | None = None
    learned_from_count: int | None = None
    learned_at: datetime | None = None  # when results were last looked at, whatever came of it
    forgotten_at: datetime | None = None
