"""Moulds: the board, and the piece a mould is built for."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Mould
from models.records.fields import LARGEST_KEY
from service.actions.set_up_shop import save_mould
from service.api.idempotency import ContextDep, IdempotentPostDep
from service.nouns.mould import MouldCreate, MouldRead
from service.queries.rows import by_name, find

router = APIRouter(tags=["moulds"])
MouldId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/moulds", status_code=201, response_model=MouldRead)
def add_mould(wanted: MouldCreate, post: IdempotentPostDep) -> JSONResponse:
    now = post.context.now
    return post.write(
        lambda session: MouldRead.model_validate(save_mould(session, now, wanted.model_dump()))
    )


@router.get("/moulds")
def list_moulds(context: ContextDep) -> list[MouldRead]:
    with context.store.reading() as session:
        rows = by_name(session, Mould)
        return [MouldRead.model_validate(row) for row in rows]


@router.get("/moulds/{mould_id}")
def read_mould(mould_id: MouldId, context: ContextDep) -> MouldRead:
    with context.store.reading() as session:
        return MouldRead.model_validate(find(session, Mould, mould_id, "mould_id"))


@router.put("/moulds/{mould_id}")
def change_mould(mould_id: MouldId, wanted: MouldCreate, context: ContextDep) -> MouldRead:
    with context.store.unit_of_work() as session:
        find(session, Mould, mould_id, "mould_id")
        row = save_mould(session, context.now, wanted.model_dump(), mould_id)
        return MouldRead.model_validate(row)
