"""Mixes, as the bag or the maker says them."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Mix
from models.records.fields import LARGEST_KEY
from service.actions.learn import forget_mix
from service.actions.set_up_shop import save_mix
from service.api.idempotency import ContextDep, IdempotentPostDep
from service.nouns.mix import MixCreate, MixRead
from service.queries.rows import by_name, find

router = APIRouter(tags=["mixes"])
MixId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/mixes", status_code=201, response_model=MixRead)
def add_mix(wanted: MixCreate, post: IdempotentPostDep) -> JSONResponse:
    now = post.context.now
    return post.write(
        lambda session: MixRead.model_validate(save_mix(session, now, wanted.model_dump()))
    )


@router.post("/mixes/{mix_id}/forget", response_model=MixRead)
def forget(mix_id: MixId, post: IdempotentPostDep) -> JSONResponse:
    """Let go of what results taught; pours from now on teach anew."""
    now = post.context.now
    return post.write(
        lambda session: MixRead.model_validate(forget_mix(session, now, mix_id)), status=200
    )


@router.get("/mixes")
def list_mixes(context: ContextDep) -> list[MixRead]:
    with context.store.reading() as session:
        rows = by_name(session, Mix)
        return [MixRead.model_validate(row) for row in rows]


@router.get("/mixes/{mix_id}")
def read_mix(mix_id: MixId, context: ContextDep) -> MixRead:
    with context.store.reading() as session:
        return MixRead.model_validate(find(session, Mix, mix_id, "mix_id"))


@router.put("/mixes/{mix_id}")
def change_mix(mix_id: MixId, wanted: MixCreate, context: ContextDep) -> MixRead:
    with context.store.unit_of_work() as session:
        find(session, Mix, mix_id, "mix_id")
        return MixRead.model_validate(save_mix(session, context.now, wanted.model_dump(), mix_id))
