"""A mix as the bag or the maker says it."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Owned, once_a_shop
from models.records.fields import (
    Density,
    Energy,
    Fraction,
    Heat,
    Hours,
    Mass,
    Name,
    Percent,
    Temperature,
    Volume,
    Word,
)


class MixBase(SQLModel):
    """What a maker tells; None follows from the class of mix, `kind`."""

    kind: Word = Field(alias="class")
    name: Name
    cement_kg_m3: Density | None = None
    water_cement: Fraction | None = None
    activation_energy_kJ_mol: Energy | None = None
    activation_energy_error_kJ_mol: Energy | None = Field(
        default=None, description="standard error of the fit that gave it"
    )
    datum_C: Temperature | None = None
    initial_set_h: Hours | None = None
    final_set_h: Hours | None = None
    working_time_h: Hours | None = Field(default=None, description="label, at working_time_C")
    working_time_C: Temperature = 21.0
    heat_kJ_kg: Heat | None = None
    hydration_tau_h: Hours | None = None
    hydration_beta: Fraction | None = None
    hydration_ultimate: Fraction | None = None
    density_kg_m3: Density = 2300.0
    bag_kg: Mass | None = None
    bag_yield_l: Volume | None = None
    bag_water_least_l: Volume | None = Field(default=None, description="its label wants in a bag")
    bag_water_most_l: Volume | None = Field(default=None, description="its label allows in a bag")
    polymer_pct: Percent | None = Field(
        default=None, description="dry polymer in a glass-fibre mix, of the mass of cement"
    )
    cement_class: Word | None = None
    colour: Word | None = None
    admixture: Word | None = None


class MixCalibrated(MixBase):
    """What results taught beside it; never typed."""

    learned_strength_factor: float | None = Field(
        default=None, description="of what the label promises"
    )
    learned_strength_sd: float | None = Field(default=None, description="of the logarithm")
    learned_set_factor: float | None = None
    learned_set_sd: float | None = Field(default=None, description="of the logarithm")
    learned_from_count: int | None = Field(default=None, description="results used")
    learned_at: datetime | None = Field(
        default=None, description="when results were last looked at"
    )


class Mix(MixCalibrated, Owned, table=True):
    """`label` is a list of {age_h, MPa, temperature_C}; `cement` the sheet of the mill, fields of
    models.concrete.composition; `recipe` its parts by weight, of models.concrete.recipe. Pours
    placed up to `forgotten_at` teach nothing any more."""

    __tablename__ = "mix"
    __table_args__ = (
        once_a_shop("name"),
        CheckConstraint("water_cement BETWEEN 0.2 AND 0.9", name="water_cement_range"),
        CheckConstraint("cement_kg_m3 > 0", name="cement_positive"),
        CheckConstraint("density_kg_m3 > 0", name="density_positive"),
        CheckConstraint("final_set_h > initial_set_h", name="set_order"),
        CheckConstraint("bag_water_most_l >= bag_water_least_l", name="bag_water_order"),
        CheckConstraint("polymer_pct BETWEEN 0 AND 25", name="polymer_range"),
        CheckConstraint(
            "cement_class IN ('32.5L', '32.5N', '32.5R', '42.5L', '42.5N', '42.5R', "
            "'52.5L', '52.5N', '52.5R')",
            name="cement_class_known",
        ),
        CheckConstraint("colour IN ('light', 'grey', 'dark')", name="colour_known"),
    )

    label: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
    cement: dict[str, float] | None = Field(default=None, sa_type=JSON)
    recipe: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
    forgotten_at: datetime | None = None
