"""Sealer products: what their sheets say."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Sealer
from models.records.fields import LARGEST_KEY
from service.actions.set_up_shop import save_sealer
from service.api.idempotency import ContextDep, IdempotentPostDep
from service.nouns.sealer import SealerCreate, SealerRead
from service.queries.rows import by_name, find

router = APIRouter(tags=["sealers"])
SealerId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/sealers", status_code=201, response_model=SealerRead)
def add_sealer(wanted: SealerCreate, post: IdempotentPostDep) -> JSONResponse:
    now = post.context.now
    return post.write(
        lambda session: SealerRead.model_validate(save_sealer(session, now, wanted.model_dump()))
    )


@router.get("/sealers")
def list_sealers(context: ContextDep) -> list[SealerRead]:
    with context.store.reading() as session:
        rows = by_name(session, Sealer)
        return [SealerRead.model_validate(row) for row in rows]


@router.get("/sealers/{sealer_id}")
def read_sealer(sealer_id: SealerId, context: ContextDep) -> SealerRead:
    with context.store.reading() as session:
        return SealerRead.model_validate(find(session, Sealer, sealer_id, "sealer_id"))


@router.put("/sealers/{sealer_id}")
def change_sealer(sealer_id: SealerId, wanted: SealerCreate, context: ContextDep) -> SealerRead:
    with context.store.unit_of_work() as session:
        find(session, Sealer, sealer_id, "sealer_id")
        row = save_sealer(session, context.now, wanted.model_dump(), sealer_id)
        return SealerRead.model_validate(row)
