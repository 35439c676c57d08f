"""Batches of a pour, one by one."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Batch, Pour
from service.actions.log_batch import log_batch, remove_batch
from service.api.fields import LARGEST_KEY, Asked, Instant, Note, Number, Temperature, Told, Volume
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find, of_pour

router = APIRouter(tags=["batches"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
BatchId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class BatchAsked(Asked):
    at: Instant | None = None
    bags: Number | None = None
    water_l: Volume | None = None
    concrete_C: Temperature | None = None
    note: Note = ""


class BatchTold(Told):
    id: int
    created_at: datetime
    pour_id: int
    at: datetime
    bags: float | None
    water_l: float | None
    concrete_C: float | None
    note: str


@router.post("/pours/{pour_id}/batches", status_code=201, response_model=BatchTold)
def add_batch(pour_id: PourId, wanted: BatchAsked, once: OnceDep) -> JSONResponse:
    door = once.door
    values = {**wanted.model_dump(), "at": wanted.at or door.now}
    return once.write(
        lambda session: BatchTold.model_validate(log_batch(session, door.now, pour_id, **values))
    )


@router.get("/pours/{pour_id}/batches")
def list_batches(pour_id: PourId, door: DoorDep) -> list[BatchTold]:
    with door.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, Batch, pour_id)
        return [BatchTold.model_validate(row) for row in rows]


@router.delete("/batches/{batch_id}", status_code=204)
def delete_batch(batch_id: BatchId, door: DoorDep) -> None:
    with door.store.unit_of_work() as session:
        remove_batch(session, batch_id)
