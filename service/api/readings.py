"""Temperatures read beside, on or in a piece; sets and films seen; a tile weighed."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from sqlmodel import Session

from models.records import Pour, Reading
from models.records.fields import LARGEST_KEY
from service.actions import doubtful
from service.actions.record_reading import mark_reading, record_reading, remove_reading
from service.api.once import DoorDep, OnceDep
from service.nouns.base import RequestBody
from service.nouns.reading import ReadingCreate, ReadingRead
from service.queries.rows import find, of_pour

router = APIRouter(tags=["readings"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
ReadingId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/pours/{pour_id}/readings", status_code=201, response_model=ReadingRead)
def add_reading(pour_id: PourId, wanted: ReadingCreate, once: OnceDep) -> JSONResponse:
    door = once.door

    def work(session: Session) -> ReadingRead:
        told = wanted.model_dump() | {"at": wanted.at or door.now}
        found = doubtful.of_reading(session, door.now, pour_id, wanted.kind, told)
        row = record_reading(session, door.now, pour_id, wanted)
        doubtful.ask(found, wanted.confirm)  # rolls back; what cannot be was refused before
        return ReadingRead.model_validate(row)

    return once.write(
        work,
        then=lambda _: door.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/readings")
def list_readings(pour_id: PourId, door: DoorDep) -> list[ReadingRead]:
    with door.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, Reading, pour_id)
        return [ReadingRead.model_validate(row) for row in rows]


class WrongRequest(RequestBody):
    wrong: bool  # false: it counts again


@router.put("/readings/{reading_id}/wrong", response_model=ReadingRead)
def mark_wrong(reading_id: ReadingId, wanted: WrongRequest, door: DoorDep) -> ReadingRead:
    """The instrument was wrong: the reading is kept, marked, and counted nowhere."""
    with door.store.unit_of_work() as session:
        row = mark_reading(session, door.now, reading_id, wrong=wanted.wrong)
        told = ReadingRead.model_validate(row)
    door.recompute(told.pour_id)
    return told


@router.delete("/readings/{reading_id}", status_code=204)
def delete_reading(reading_id: ReadingId, door: DoorDep) -> None:
    with door.store.unit_of_work() as session:
        pour_id = find(session, Reading, reading_id, "reading_id").pour_id
        remove_reading(session, door.now, reading_id)
    door.recompute(pour_id)
