"""A sealer product: what its sheet says."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Owned, once_a_shop
from models.records.fields import (
    Count,
    Coverage,
    Days,
    Hours,
    Name,
    Number,
    Percent,
    Temperature,
    TemperatureStep,
    Word,
)


class SealerBase(SQLModel):
    """None takes the typical value of the chemistry."""

    name: Name
    chemistry: Word
    coats: Count | None = None
    diluted_coats: Count | None = None
    recoat_min_h: Hours | None = None
    recoat_max_h: Hours | None = None
    min_C: Temperature | None = None
    max_C: Temperature | None = None
    max_rh_pct: Percent | None = None
    min_age_d: Days | None = None
    dew_margin_K: TemperatureStep | None = None
    hold_h: Hours | None = None
    rain_free_h: Hours | None = None
    coverage_m2_l: Coverage | None = None
    light_use_h: Hours | None = None
    full_use_h: Hours | None = None
    dry_rh_pct: Percent | None = Field(default=None, description="pore humidity at the test depth")
    next_after_h: Hours | None = Field(
        default=None, description="from its last coat to another product on it"
    )
    dwell_h: Hours | None = Field(default=None, description="stays wet, then is wiped off")
    price_l: Number | None = Field(
        default=None, description="of a litre, in the currency; none: the shop's of any sealer"
    )


class Sealer(SealerBase, Owned, table=True):
    __tablename__ = "sealer"
    __table_args__ = (
        once_a_shop("name"),
        CheckConstraint("coats >= 1", name="coats_positive"),
        CheckConstraint("diluted_coats <= coats", name="diluted_within"),
        CheckConstraint("recoat_max_h >= recoat_min_h", name="recoat_order"),
        CheckConstraint('"max_C" >= "min_C"', name="range_order"),
        CheckConstraint("price_l >= 0", name="price_not_negative"),
        CheckConstraint("full_use_h >= light_use_h", name="use_order"),
    )
