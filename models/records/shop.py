"""A shop: one row with its rules, its hours, the covers it owns and where notices go."""

from datetime import time
from typing import Annotated, Any, Literal, get_args

from pydantic import Strict
from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Row
from models.records.fields import Fraction, Name, Number, TileMass, Volume, WallClock, Word, YesNo

Priced = Literal[  # a day of a mould, a cover laid, a day of heating; each by its name
    "mould_day",
    "cover",
    "heat_day",
    "bag",
    "sealer_l",
    "blanket_night",
    "kWh",
    "hour",
    "helper_hour",
    "lost_piece",
]
Notice = Literal["opens", "closes", "frost", "rain", "wind"]  # what was told is always withdrawn
Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
DAYS: tuple[Day, ...] = get_args(Day)
PRICED: tuple[Priced, ...] = get_args(Priced)
NOTICES: tuple[Notice, ...] = get_args(Notice)
UNITS = ("si", "us")


class ShopBase(SQLModel):
    """`covers` is a list of {kind, R_m2K_W, setpoint_C, faces, heater}; hours are wall clock;
    prices by PRICED, in the currency."""

    name: Name = "My shop"
    timezone: Word = "UTC"
    units: Word | None = Field(default=None, description="of bare numbers on pages")
    code: Word | None = Field(default=None, description="rules of concrete; None: by region")
    confidence: Fraction = 0.90
    working_from: WallClock = time(7)
    working_to: WallClock = time(21)
    quiet_from: WallClock = time(22)
    quiet_to: WallClock = time(7)
    covers: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
    needs_MPa: dict[str, float] = Field(default_factory=dict, sa_type=JSON)
    gear: list[str] = Field(default_factory=list, sa_type=JSON, description="that turns pieces")
    lifters: Annotated[int, Strict()] | None = Field(
        default=None, ge=1, le=20, description="people who lift together"
    )
    currency: Word | None = Field(default=None, description="of ISO 4217; None: by region")
    prices: dict[str, float] = Field(default_factory=dict, sa_type=JSON)
    mixer_l: Volume | None = Field(default=None, description="concrete that the mixer holds")
    scale_g: TileMass | None = Field(default=None, description="step that the scale reads to")
    heater_kW: Number | None = Field(default=None, description="of what heats a piece, running")
    notice_addresses: list[str] = Field(default_factory=list, sa_type=JSON)
    notice_kinds: list[Notice] = Field(default_factory=lambda: list(NOTICES), sa_type=JSON)
    notice_lead_min: Annotated[int, Strict()] = Field(
        default=0, ge=0, le=720, description="so long before a window opens it is told"
    )
    hands: Annotated[int, Strict()] = Field(
        default=1, ge=1, le=50, description="people who pour and strip at once"
    )
    working_days: list[Day] = Field(default_factory=lambda: list(DAYS), sa_type=JSON)
    frost_wakes: YesNo = Field(default=True, description="an alarm may break the quiet hours")


class Shop(ShopBase, Row, table=True):
    __tablename__ = "shop"
    __table_args__ = (
        CheckConstraint(f"units IN {UNITS}", name="units_known"),
        CheckConstraint("code IN ('ACI', 'EN')", name="code_known"),
        CheckConstraint("confidence >= 0.8 AND confidence <= 0.99", name="confidence_range"),
        CheckConstraint("lifters BETWEEN 1 AND 20", name="lifters_range"),
        CheckConstraint("hands BETWEEN 1 AND 50", name="hands_range"),
        CheckConstraint("mixer_l > 0 AND scale_g > 0", name="mixing_positive"),
        CheckConstraint("notice_lead_min BETWEEN 0 AND 720", name="notice_lead_range"),
    )

    feed_token: str = Field(unique=True)
