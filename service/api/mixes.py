"""Mixes, as the bag or the maker says them."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Mix
from models.records.fields import LARGEST_KEY
from service.actions.learn import forget_mix
from service.actions.set_up_shop import save_mix
from service.api.once import DoorDep, OnceDep
from service.nouns.mix import MixCreate, MixRead
from service.queries.rows import by_name, find

router = APIRouter(tags=["mixes"])
MixId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/mixes", status_code=201, response_model=MixRead)
def add_mix(wanted: MixCreate, once: OnceDep) -> JSONResponse:
    now = once.door.now
    return once.write(
        lambda session: MixRead.model_validate(save_mix(session, now, wanted.model_dump()))
    )


@router.post("/mixes/{mix_id}/forget", response_model=MixRead)
def forget(mix_id: MixId, once: OnceDep) -> JSONResponse:
    """Let go of what results taught; pours from now on teach anew."""
    now = once.door.now
    return once.write(
        lambda session: MixRead.model_validate(forget_mix(session, now, mix_id)), status=200
    )


@router.get("/mixes")
def list_mixes(door: DoorDep) -> list[MixRead]:
    with door.store.reading() as session:
        rows = by_name(session, Mix)
        return [MixRead.model_validate(row) for row in rows]


@router.get("/mixes/{mix_id}")
def read_mix(mix_id: MixId, door: DoorDep) -> MixRead:
    with door.store.reading() as session:
        return MixRead.model_validate(find(session, Mix, mix_id, "mix_id"))


@router.put("/mixes/{mix_id}")
def change_mix(mix_id: MixId, wanted: MixCreate, door: DoorDep) -> MixRead:
    with door.store.unit_of_work() as session:
        find(session, Mix, mix_id, "mix_id")
        return MixRead.model_validate(save_mix(session, door.now, wanted.model_dump(), mix_id))
