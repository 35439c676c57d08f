"""Places where pieces stand."""

from datetime import datetime, time
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from pydantic import Field
from sqlmodel import col, select

from models.records import Place
from service.actions.learn import forget_place
from service.actions.set_up_shop import save_place
from service.api.fields import (
    LARGEST_KEY,
    Angle,
    Asked,
    Hours,
    Name,
    Temperature,
    TemperatureStep,
    Told,
    Word,
)
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find

router = APIRouter(tags=["places"])
PlaceId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class PlaceAsked(Asked):
    name: Name
    kind: Word
    latitude: Angle | None = None
    longitude: Angle | None = None
    altitude_m: float | None = Field(default=None, description="above the sea, -500 to 9000")
    timezone: Word | None = Field(default=None, description="none: that of the position")
    lag_h: Hours | None = None
    offset_K: TemperatureStep | None = None
    setpoint_C: Temperature | None = None
    heated_from: time | None = Field(
        default=None, description="wall clock, of a heated room; none: day and night"
    )
    heated_to: time | None = None
    heater: Word | None = Field(default=None, description="electric | vented | unvented")


class ForecastScoreTold(Told):
    """Forecasts from `from_h` to `to_h` ahead, as they were compared with what came."""

    from_h: float
    to_h: float
    days: int = Field(description="different days that were compared")
    bias_K: float = Field(description="taken off forecasts: too warm when positive")
    factor: float = Field(description="by which the spread of forecasts is scaled")
    seen_bias_K: float
    seen_sd_K: float
    inside_80: float = Field(description="share of hours within the stated 80 % band")


class PlaceTold(Told):
    id: int
    created_at: datetime
    name: str
    kind: str
    latitude: float | None = Field(description="degrees north")
    longitude: float | None = Field(description="degrees east")
    altitude_m: float | None = Field(description="above the sea")
    timezone: str
    lag_h: float | None
    offset_K: float | None
    setpoint_C: float | None
    heated_from: time | None
    heated_to: time | None
    heater: str | None
    learned_lag_h: float | None
    learned_lag_spread: float | None = Field(description="of the logarithm")
    learned_offset_K: float | None
    learned_offset_sd_K: float | None
    learned_from_count: int | None = Field(description="readings used")
    learned_at: datetime | None = Field(description="when readings were last looked at")
    learned_forecast: list[ForecastScoreTold] | None = Field(
        description="what kept forecasts were off, by lead; kept anew each day"
    )


@router.post("/places", status_code=201, response_model=PlaceTold)
def add_place(wanted: PlaceAsked, once: OnceDep) -> JSONResponse:
    now = once.door.now
    return once.write(
        lambda session: PlaceTold.model_validate(save_place(session, now, wanted.model_dump()))
    )


@router.post("/places/{place_id}/forget", response_model=PlaceTold)
def forget(place_id: PlaceId, once: OnceDep) -> JSONResponse:
    """Let go of what readings taught; those from now on teach anew."""
    now = once.door.now
    return once.write(
        lambda session: PlaceTold.model_validate(forget_place(session, now, place_id)), status=200
    )


@router.get("/places")
def list_places(door: DoorDep) -> list[PlaceTold]:
    with door.store.reading() as session:
        rows = session.exec(select(Place).order_by(col(Place.name))).all()
        return [PlaceTold.model_validate(row) for row in rows]


@router.get("/places/{place_id}")
def read_place(place_id: PlaceId, door: DoorDep) -> PlaceTold:
    with door.store.reading() as session:
        return PlaceTold.model_validate(find(session, Place, place_id, "place_id"))


@router.put("/places/{place_id}")
def change_place(place_id: PlaceId, wanted: PlaceAsked, door: DoorDep) -> PlaceTold:
    with door.store.unit_of_work() as session:
        find(session, Place, place_id, "place_id")
        row = save_place(session, door.now, wanted.model_dump(), place_id)
        return PlaceTold.model_validate(row)
