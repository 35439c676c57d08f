"""The shop's rules, hours, covers and addresses; the calendar's secret address."""

from datetime import time
from typing import Any

from fastapi import APIRouter
from fastapi.responses import JSONResponse
from pydantic import Field, model_validator

from models.errors import InputError
from models.records import Shop
from service.actions.set_up_shop import change_shop, new_feed_token
from service.api.fields import Asked, Name, Resistance, Share, Stress, Temperature, Told, Word
from service.api.once import DoorDep, OnceDep
from service.notify import relay
from service.notify.address import masked
from service.queries.rows import find_shop

router = APIRouter(tags=["shop"])


class Cover(Asked):
    kind: Word
    R_m2K_W: Resistance | None = None
    setpoint_C: Temperature | None = None
    faces: Word = "top"
    heater: Word | None = Field(default=None, description="electric | vented | unvented")


class ShopChange(Asked):
    """Only what is named is changed; nothing can be emptied but lists."""

    name: Name | None = None
    timezone: Word | None = None
    units: Word | None = Field(default=None, description="si | us: of bare numbers on pages")
    confidence: Share | None = None
    working_from: time | None = None
    working_to: time | None = None
    quiet_from: time | None = None
    quiet_to: time | None = None
    covers: list[Cover] | None = Field(default=None, max_length=20)
    needs_MPa: dict[Word, Stress] | None = Field(default=None, max_length=20)
    notice_addresses: list[str] | None = Field(default=None, max_length=10)

    @model_validator(mode="after")
    def _checked(self) -> "ShopChange":
        for name in self.model_fields_set:
            value = getattr(self, name)
            if value is None:
                raise InputError(name, None, "cannot be emptied", "a value, or leave the field out")
            if isinstance(value, time) and value.tzinfo is not None:
                raise InputError(name, value, "carries an offset", "wall clock, as 07:00")
        return self


class ShopTold(Told):
    """Addresses hold secrets: each is told masked, and sent back so it is kept."""

    name: str
    timezone: str
    units: str | None
    confidence: float
    working_from: time
    working_to: time
    quiet_from: time
    quiet_to: time
    covers: list[dict[str, Any]]
    needs_MPa: dict[str, float]
    notice_address_count: int
    notice_addresses: list[str]
    calendar_path: str


@router.get("/shop")
def read_shop(door: DoorDep) -> ShopTold:
    with door.store.reading() as session:
        return _told(find_shop(session))


@router.patch("/shop")
def patch_shop(wanted: ShopChange, door: DoorDep) -> ShopTold:
    values = wanted.model_dump(exclude_unset=True)
    if "notice_addresses" in values:
        with door.store.reading() as session:
            stored = find_shop(session).notice_addresses
        allowed = door.settings.allowed_networks
        told = [
            relay.checked(f"notice_addresses[{k}]", one, stored, allowed)
            for k, one in enumerate(values["notice_addresses"])
        ]
        values["notice_addresses"] = list(dict.fromkeys(told))
    with door.store.unit_of_work() as session:
        return _told(change_shop(session, door.now, values))


@router.post("/shop/calendar-address", status_code=201, response_model=ShopTold)
def renew_calendar_address(once: OnceDep) -> JSONResponse:
    """Withdraw the calendar's address and give another."""
    return once.write(lambda session: _told(new_feed_token(session)))


def _told(shop: Shop) -> ShopTold:
    return ShopTold(
        notice_address_count=len(shop.notice_addresses),
        notice_addresses=[masked(one) for one in shop.notice_addresses],
        calendar_path=f"/calendar/{shop.feed_token}.ics",
        **{
            name: getattr(shop, name)
            for name in ShopTold.model_fields
            if name not in ("notice_address_count", "notice_addresses", "calendar_path")
        },
    )
