"""Pieces: outside measures and openings."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse
from sqlmodel import Session

from models.records import Piece
from models.records.fields import LARGEST_KEY
from service.actions import doubtful
from service.actions.set_up_shop import save_piece
from service.api.idempotency import ContextDep, IdempotentPostDep
from service.nouns.piece import PieceCreate, PieceRead
from service.queries.rows import by_name, find

router = APIRouter(tags=["pieces"])
PieceId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/pieces", status_code=201, response_model=PieceRead)
def add_piece(wanted: PieceCreate, post: IdempotentPostDep) -> JSONResponse:
    now = post.context.now
    return post.write(lambda session: _saved(session, now, wanted))


def _saved(
    session: Session, now: datetime, wanted: PieceCreate, piece_id: int | None = None
) -> PieceRead:
    values = wanted.model_dump(exclude={"confirm"})
    row = save_piece(session, now, values, piece_id)
    doubtful.ask(doubtful.of_piece(values), wanted.confirm)  # rolls back
    return PieceRead.model_validate(row)


@router.get("/pieces")
def list_pieces(context: ContextDep) -> list[PieceRead]:
    with context.store.reading() as session:
        rows = by_name(session, Piece)
        return [PieceRead.model_validate(row) for row in rows]


@router.get("/pieces/{piece_id}")
def read_piece(piece_id: PieceId, context: ContextDep) -> PieceRead:
    with context.store.reading() as session:
        return PieceRead.model_validate(find(session, Piece, piece_id, "piece_id"))


@router.put("/pieces/{piece_id}")
def change_piece(piece_id: PieceId, wanted: PieceCreate, context: ContextDep) -> PieceRead:
    with context.store.unit_of_work() as session:
        find(session, Piece, piece_id, "piece_id")
        return _saved(session, context.now, wanted, piece_id)
