"""A sealer product: what its sheet says."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import Row


class Sealer(Row, table=True):
    """None takes the typical value of the chemistry."""

    __tablename__ = "sealer"
    __table_args__ = (
        CheckConstraint("coats >= 1", name="coats_positive"),
        CheckConstraint("diluted_coats <= coats", name="diluted_within"),
        CheckConstraint("recoat_max_h >= recoat_min_h", name="recoat_order"),
        CheckConstraint('"max_C" >= "min_C"', name="range_order"),
        CheckConstraint("full_use_h >= light_use_h", name="use_order"),
    )

    name: str = Field(unique=True)
    chemistry: str
    coats: int | None = None
    diluted_coats: int | None = None
    recoat_min_h: float | None = None
    recoat_max_h: float | None = None
    min_C: float | None = None
    max_C: float | None = None
    max_rh_pct: float | None = None
    min_age_d: float | None = None
    dew_margin_K: float | None = None
    hold_h: float | None = None
    rain_free_h: float | None = None
    coverage_m2_l: float | None = None
    light_use_h: float | None = None
    full_use_h: float | None = None
