"""Batches of a pour, one by one."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Batch, Pour
from models.records.fields import LARGEST_KEY
from service.actions.log_batch import log_batch, remove_batch
from service.api.idempotency import ContextDep, IdempotentPostDep
from service.nouns.batch import BatchCreate, BatchRead
from service.queries.rows import find, of_pour

router = APIRouter(tags=["batches"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
BatchId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/pours/{pour_id}/batches", status_code=201, response_model=BatchRead)
def add_batch(pour_id: PourId, wanted: BatchCreate, post: IdempotentPostDep) -> JSONResponse:
    context = post.context
    return post.write(
        lambda session: BatchRead.model_validate(log_batch(session, context.now, pour_id, wanted))
    )


@router.get("/pours/{pour_id}/batches")
def list_batches(pour_id: PourId, context: ContextDep) -> list[BatchRead]:
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, Batch, pour_id)
        return [BatchRead.model_validate(row) for row in rows]


@router.delete("/batches/{batch_id}", status_code=204)
def delete_batch(batch_id: BatchId, context: ContextDep) -> None:
    with context.store.unit_of_work() as session:
        remove_batch(session, batch_id)
