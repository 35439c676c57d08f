"""Places where pieces stand."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Place
from models.records.fields import LARGEST_KEY
from service.actions.learn import forget_place
from service.actions.set_up_shop import save_place
from service.api.idempotency import ContextDep, IdempotentPostDep
from service.nouns.place import PlaceCreate, PlaceRead
from service.queries.rows import by_name, find

router = APIRouter(tags=["places"])
PlaceId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/places", status_code=201, response_model=PlaceRead)
def add_place(wanted: PlaceCreate, post: IdempotentPostDep) -> JSONResponse:
    now = post.context.now
    return post.write(
        lambda session: PlaceRead.model_validate(save_place(session, now, wanted.model_dump()))
    )


@router.post("/places/{place_id}/forget", response_model=PlaceRead)
def forget(place_id: PlaceId, post: IdempotentPostDep) -> JSONResponse:
    """Let go of what readings taught; those from now on teach anew."""
    now = post.context.now
    return post.write(
        lambda session: PlaceRead.model_validate(forget_place(session, now, place_id)), status=200
    )


@router.get("/places")
def list_places(context: ContextDep) -> list[PlaceRead]:
    with context.store.reading() as session:
        rows = by_name(session, Place)
        return [PlaceRead.model_validate(row) for row in rows]


@router.get("/places/{place_id}")
def read_place(place_id: PlaceId, context: ContextDep) -> PlaceRead:
    with context.store.reading() as session:
        return PlaceRead.model_validate(find(session, Place, place_id, "place_id"))


@router.put("/places/{place_id}")
def change_place(place_id: PlaceId, wanted: PlaceCreate, context: ContextDep) -> PlaceRead:
    with context.store.unit_of_work() as session:
        find(session, Place, place_id, "place_id")
        row = save_place(session, context.now, wanted.model_dump(), place_id)
        return PlaceRead.model_validate(row)
