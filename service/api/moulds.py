"""Moulds: the board, and the piece a mould is built for."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from sqlmodel import col, select

from models.records import Mould
from service.actions.set_up_shop import save_mould
from service.api.fields import LARGEST_KEY, Asked, Key, Length, Name, Told, Word
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find

router = APIRouter(tags=["moulds"])
MouldId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class MouldAsked(Asked):
    name: Name
    material: Word = "melamine"
    thickness_mm: Length = 16.0
    piece_id: Key | None = None


class MouldTold(Told):
    id: int
    created_at: datetime
    name: str
    material: str
    thickness_mm: float
    piece_id: int | None


@router.post("/moulds", status_code=201, response_model=MouldTold)
def add_mould(wanted: MouldAsked, once: OnceDep) -> JSONResponse:
    now = once.door.now
    return once.write(
        lambda session: MouldTold.model_validate(save_mould(session, now, wanted.model_dump()))
    )


@router.get("/moulds")
def list_moulds(door: DoorDep) -> list[MouldTold]:
    with door.store.reading() as session:
        rows = session.exec(select(Mould).order_by(col(Mould.name))).all()
        return [MouldTold.model_validate(row) for row in rows]


@router.get("/moulds/{mould_id}")
def read_mould(mould_id: MouldId, door: DoorDep) -> MouldTold:
    with door.store.reading() as session:
        return MouldTold.model_validate(find(session, Mould, mould_id, "mould_id"))


@router.put("/moulds/{mould_id}")
def change_mould(mould_id: MouldId, wanted: MouldAsked, door: DoorDep) -> MouldTold:
    with door.store.unit_of_work() as session:
        find(session, Mould, mould_id, "mould_id")
        row = save_mould(session, door.now, wanted.model_dump(), mould_id)
        return MouldTold.model_validate(row)
