"""Temperatures read beside, on or in a piece; sets and films seen; a tile weighed."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from sqlmodel import Session

from models.records import Pour, Reading
from models.records.fields import LARGEST_KEY
from service.actions import doubtful
from service.actions.record_reading import mark_reading, record_reading, remove_reading
from service.api.idempotency import ContextDep, IdempotentPostDep
from service.nouns.base import RequestBody
from service.nouns.reading import ReadingCreate, ReadingRead
from service.queries.rows import find, of_pour

router = APIRouter(tags=["readings"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
ReadingId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/pours/{pour_id}/readings", status_code=201, response_model=ReadingRead)
def add_reading(pour_id: PourId, wanted: ReadingCreate, post: IdempotentPostDep) -> JSONResponse:
    context = post.context

    def work(session: Session) -> ReadingRead:
        told = wanted.model_dump() | {"at": wanted.at or context.now}
        found = doubtful.of_reading(session, context.now, pour_id, wanted.kind, told)
        row = record_reading(session, context.now, pour_id, wanted)
        doubtful.ask(found, wanted.confirm)  # rolls back; what cannot be was refused before
        return ReadingRead.model_validate(row)

    return post.write(
        work,
        then=lambda _: context.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/readings")
def list_readings(pour_id: PourId, context: ContextDep) -> list[ReadingRead]:
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, Reading, pour_id)
        return [ReadingRead.model_validate(row) for row in rows]


class WrongRequest(RequestBody):
    wrong: bool  # false: it counts again


@router.put("/readings/{reading_id}/wrong", response_model=ReadingRead)
def mark_wrong(reading_id: ReadingId, wanted: WrongRequest, context: ContextDep) -> ReadingRead:
    """The instrument was wrong: the reading is kept, marked, and counted nowhere."""
    with context.store.unit_of_work() as session:
        row = mark_reading(session, context.now, reading_id, wrong=wanted.wrong)
        told = ReadingRead.model_validate(row)
    context.recompute(told.pour_id)
    return told


@router.delete("/readings/{reading_id}", status_code=204)
def delete_reading(reading_id: ReadingId, context: ContextDep) -> None:
    with context.store.unit_of_work() as session:
        pour_id = find(session, Reading, reading_id, "reading_id").pour_id
        remove_reading(session, context.now, reading_id)
    context.recompute(pour_id)
