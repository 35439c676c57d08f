"""The shop: its rules, hours and covers, and where notices go."""

from typing import Annotated

from pydantic import Field, Strict, model_validator

from models.errors import InputError
from models.records.fields import (
    Fraction,
    Name,
    Number,
    Stress,
    TileMass,
    Volume,
    WallClock,
    Word,
    YesNo,
)
from models.records.shop import Priced, ShopBase
from service.nouns.base import RequestBody, ResponseBody
from service.nouns.cover import Cover, CoverRead
from service.vocabulary import Gear, NoticeKind, RulesCode, Units, Weekday

Price = Annotated[float, Field(ge=0, le=1e6)]


class ShopChange(RequestBody):
    """Only what is named is changed; nothing can be emptied but lists."""

    name: Name | None = None
    timezone: Word | None = None
    units: Units | None = Field(default=None, description="of bare numbers on pages")
    code: RulesCode | None = Field(default=None, description="rules of concrete")
    confidence: Fraction | None = None
    working_from: WallClock | None = None
    working_to: WallClock | None = None
    quiet_from: WallClock | None = None
    quiet_to: WallClock | None = None
    covers: list[Cover] | None = Field(default=None, max_length=20)
    needs_MPa: dict[Word, Stress] | None = Field(default=None, max_length=20)
    gear: list[Gear] | None = Field(default=None, max_length=4)
    lifters: Annotated[int, Strict()] | None = Field(
        default=None, ge=1, le=20, description="people who lift together"
    )
    currency: str | None = Field(default=None, description="three letters of ISO 4217")
    prices: dict[Priced, Price] | None = Field(default=None, description="in the currency")
    mixer_l: Volume | None = Field(default=None, description="concrete that the mixer holds")
    scale_g: TileMass | None = Field(default=None, description="step that the scale reads to")
    heater_kW: Number | None = Field(default=None, description="of what heats a piece, running")
    notice_addresses: list[str] | None = Field(default=None, max_length=10)
    notice_kinds: list[NoticeKind] | None = Field(default=None, max_length=5)
    notice_lead_min: Annotated[int, Strict()] | None = Field(default=None, ge=0, le=720)
    hands: Annotated[int, Strict()] | None = Field(default=None, ge=1, le=50)
    working_days: list[Weekday] | None = Field(default=None, min_length=1, max_length=7)
    frost_wakes: YesNo | None = None

    @model_validator(mode="after")
    def _checked(self) -> "ShopChange":
        for name in self.model_fields_set:
            value = getattr(self, name)
            if value is None:
                raise InputError(name, None, "cannot be emptied", "a value, or leave the field out")
        return self


class ShopRead(ShopBase, ResponseBody):
    """Addresses hold secrets: each is told masked, and sent back so it is kept."""

    units: Units | None = Field(description="of bare numbers on pages")
    code: RulesCode | None = Field(description="rules of concrete; none: by region")
    covers: list[CoverRead]  # type: ignore[assignment]  # rows keep them as JSON
    gear: list[Gear] = Field(description="that turns pieces, beside hands")
    notice_kinds: list[NoticeKind]
    working_days: list[Weekday]
    notice_address_count: int
    calendar_path: str
