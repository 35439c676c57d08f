"""Pieces: outside measures and openings."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from pydantic import Field
from sqlmodel import Session, col, select

from models.records import Piece
from service.actions import doubtful
from service.actions.set_up_shop import save_piece
from service.api.fields import LARGEST_KEY, Asked, Length, Name, Told, Word, YesNo
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find

router = APIRouter(tags=["pieces"])
PieceId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class Opening(Asked):
    length_mm: Length
    width_mm: Length
    edge_mm: Length | None = None


class PieceAsked(Asked):
    name: Name
    shape: Word
    length_mm: Length
    width_mm: Length
    thickness_mm: Length | None = None
    height_mm: Length | None = None
    wall_mm: Length | None = None
    openings: list[Opening] = Field(default_factory=list, alias="opening", max_length=20)
    exposed_to_frost: YesNo = True
    confirm: YesNo = Field(default=False, description="store it though its unit is doubtful")


class PieceTold(Told):
    id: int
    created_at: datetime
    name: str
    shape: str
    length_mm: float
    width_mm: float
    thickness_mm: float | None
    height_mm: float | None
    wall_mm: float | None
    openings: list[dict[str, float | None]] = Field(alias="opening")
    exposed_to_frost: bool


@router.post("/pieces", status_code=201, response_model=PieceTold)
def add_piece(wanted: PieceAsked, once: OnceDep) -> JSONResponse:
    now = once.door.now
    return once.write(lambda session: _saved(session, now, wanted))


def _saved(
    session: Session, now: datetime, wanted: PieceAsked, piece_id: int | None = None
) -> PieceTold:
    values = wanted.model_dump(exclude={"confirm"})
    row = save_piece(session, now, values, piece_id)
    doubtful.ask(doubtful.of_piece(values), wanted.confirm)  # rolls back
    return PieceTold.model_validate(row)


@router.get("/pieces")
def list_pieces(door: DoorDep) -> list[PieceTold]:
    with door.store.reading() as session:
        rows = session.exec(select(Piece).order_by(col(Piece.name))).all()
        return [PieceTold.model_validate(row) for row in rows]


@router.get("/pieces/{piece_id}")
def read_piece(piece_id: PieceId, door: DoorDep) -> PieceTold:
    with door.store.reading() as session:
        return PieceTold.model_validate(find(session, Piece, piece_id, "piece_id"))


@router.put("/pieces/{piece_id}")
def change_piece(piece_id: PieceId, wanted: PieceAsked, door: DoorDep) -> PieceTold:
    with door.store.unit_of_work() as session:
        find(session, Piece, piece_id, "piece_id")
        return _saved(session, door.now, wanted, piece_id)
