"""Temperatures read beside, on or in a piece; sets and films seen; a tile weighed."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from pydantic import Field
from sqlmodel import Session

from models.errors import InputError
from models.projection.scenario import READING_KINDS, TEMPERATURE_KINDS
from models.records import Pour, Reading
from service.actions import doubtful
from service.actions.record_reading import mark_reading, record_reading, remove_reading
from service.api.fields import (
    LARGEST_KEY,
    Asked,
    Hours,
    Instant,
    Note,
    Percent,
    Temperature,
    TileMass,
    Told,
    Word,
    YesNo,
)
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find, of_pour

router = APIRouter(tags=["readings"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
ReadingId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class ReadingAsked(Asked):
    kind: Word
    value_C: Temperature | None = None  # of the four kinds that are read in degrees
    value_max_C: Temperature | None = None
    span_h: Hours = 12.0
    mass_g: TileMass | None = None  # of a tile only
    rh_pct: Percent | None = None  # of a humidity reading only
    at: Instant | None = None
    note: Note = ""
    confirm: YesNo = Field(default=False, description="store it though its unit is doubtful")


class ReadingTold(Told):
    id: int
    created_at: datetime
    pour_id: int
    place_id: int
    at: datetime
    kind: str
    value_C: float
    value_max_C: float | None
    span_h: float
    mass_g: float | None
    rh_pct: float | None
    note: str
    wrong: bool


@router.post("/pours/{pour_id}/readings", status_code=201, response_model=ReadingTold)
def add_reading(pour_id: PourId, wanted: ReadingAsked, once: OnceDep) -> JSONResponse:
    door = once.door
    values = {**wanted.model_dump(exclude={"confirm"}), "at": wanted.at or door.now}
    _has_its_temperature(wanted)
    values["value_C"] = wanted.value_C or 0.0

    def work(session: Session) -> ReadingTold:
        told = wanted.model_dump() | {"at": values["at"]}
        found = doubtful.of_reading(session, door.now, pour_id, wanted.kind, told)
        row = record_reading(session, door.now, pour_id, **values)
        doubtful.ask(found, wanted.confirm)  # rolls back; what cannot be was refused before
        return ReadingTold.model_validate(row)

    return once.write(
        work,
        then=lambda _: door.recompute(pour_id),
    )


def _has_its_temperature(wanted: ReadingAsked) -> None:
    """Every kind that is measured in degrees has a value, and no other."""
    value, kind = wanted.value_C, wanted.kind
    if kind in READING_KINDS and kind not in TEMPERATURE_KINDS and value is not None:
        raise InputError("value_C", value, f"{kind} has no temperature", "leave it out")
    if kind in TEMPERATURE_KINDS and value is None:
        raise InputError("value_C", None, "a reading of this kind has a value", "-50 to 95 degC")


@router.get("/pours/{pour_id}/readings")
def list_readings(pour_id: PourId, door: DoorDep) -> list[ReadingTold]:
    with door.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, Reading, pour_id)
        return [ReadingTold.model_validate(row) for row in rows]


class WrongAsked(Asked):
    wrong: bool  # false: it counts again


@router.put("/readings/{reading_id}/wrong", response_model=ReadingTold)
def mark_wrong(reading_id: ReadingId, wanted: WrongAsked, door: DoorDep) -> ReadingTold:
    """The instrument was wrong: the reading is kept, marked, and counted nowhere."""
    with door.store.unit_of_work() as session:
        row = mark_reading(session, door.now, reading_id, wrong=wanted.wrong)
        told = ReadingTold.model_validate(row)
    door.recompute(told.pour_id)
    return told


@router.delete("/readings/{reading_id}", status_code=204)
def delete_reading(reading_id: ReadingId, door: DoorDep) -> None:
    with door.store.unit_of_work() as session:
        pour_id = find(session, Reading, reading_id, "reading_id").pour_id
        remove_reading(session, door.now, reading_id)
    door.recompute(pour_id)
