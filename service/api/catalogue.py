"""What the shop owns, noun by noun: places, mixes, pieces, moulds, sealers; all by one router."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any, TypeVar

from fastapi import APIRouter, Body, Path
from fastapi.responses import JSONResponse
from sqlmodel import Session

from models.records import Mix, Mould, Piece, Place, Row, Sealer
from models.records.fields import LARGEST_KEY
from service.actions.pours import doubtful
from service.actions.shop.calibrate import forget_mix, forget_place
from service.actions.shop.set_up_shop import (
    save_mix,
    save_mould,
    save_piece,
    save_place,
    save_sealer,
)
from service.api.idempotency import IdempotentPostDep
from service.nouns.base import As, RequestBody, Stored
from service.nouns.mix import MixCreate, MixRead
from service.nouns.mould import MouldCreate, MouldRead
from service.nouns.piece import PieceCreate, PieceRead
from service.nouns.place import PlaceCreate, PlaceRead
from service.nouns.sealer import SealerCreate, SealerRead
from service.queries.rows import by_name, find
from service.request_context import ContextDep

C = TypeVar("C", bound=RequestBody)
R = TypeVar("R", bound=Stored)
Save = Callable[[Session, datetime, Mapping[str, Any], int | None], Row]


@dataclass(frozen=True)
class Forget:
    """How a row lets go of what it was taught, and what is told of that."""

    work: Callable[[Session, datetime, int], Row]
    words: str


def catalogue(
    path: str,
    noun: str,
    table: type[Row],
    create: type[C],
    read: type[R],
    save: Save,
    forget: Forget | None = None,
) -> APIRouter:
    """Add, list, read and change the rows of a noun; `create` and `read` are its descriptions."""
    key = f"{noun}_id"
    row_path = Path(alias=key, ge=1, le=LARGEST_KEY)
    router = APIRouter(prefix=f"/{path}", tags=[path])

    def saved(session: Session, now: datetime, wanted: C, row_id: int | None = None) -> R:
        values = wanted.model_dump(exclude={"confirm"})
        row = save(session, now, values, row_id)
        if isinstance(wanted, PieceCreate):
            doubtful.ask(doubtful.of_piece(values), wanted.confirm)  # rolls back
        return read.model_validate(row)

    @router.post("", name=f"add_{noun}", status_code=201, response_model=read)
    def add(wanted: Annotated[C, Body(), As(create)], post: IdempotentPostDep) -> JSONResponse:
        return post.write(read, lambda session: saved(session, post.now, wanted))

    if forget is not None:

        @router.post(
            f"/{{{key}}}/forget", name="forget", response_model=read, description=forget.words
        )
        def forget_calibration(
            row_id: Annotated[int, row_path], post: IdempotentPostDep
        ) -> JSONResponse:
            return post.write(
                read, lambda session: forget.work(session, post.now, row_id), status=200
            )

    @router.get("", name=f"list_{path}")
    def rows(context: ContextDep) -> list[Annotated[R, As(read)]]:
        with context.store.reading() as session:
            return [read.model_validate(row) for row in by_name(session, table)]

    @router.get(f"/{{{key}}}", name=f"read_{noun}")
    def row(row_id: Annotated[int, row_path], context: ContextDep) -> Annotated[R, As(read)]:
        with context.store.reading() as session:
            return read.model_validate(find(session, table, row_id, key))

    @router.put(f"/{{{key}}}", name=f"change_{noun}")
    def change(
        row_id: Annotated[int, row_path],
        wanted: Annotated[C, Body(), As(create)],
        context: ContextDep,
    ) -> Annotated[R, As(read)]:
        with context.store.unit_of_work() as session:
            find(session, table, row_id, key)
            return saved(session, context.now, wanted, row_id)

    return router


FORGET_PLACE = Forget(forget_place, "Let go of what readings taught; those from now on teach anew.")
FORGET_MIX = Forget(forget_mix, "Let go of what results taught; pours from now on teach anew.")
ROUTERS = (
    catalogue("places", "place", Place, PlaceCreate, PlaceRead, save_place, FORGET_PLACE),
    catalogue("mixes", "mix", Mix, MixCreate, MixRead, save_mix, FORGET_MIX),
    catalogue("pieces", "piece", Piece, PieceCreate, PieceRead, save_piece),
    catalogue("moulds", "mould", Mould, MouldCreate, MouldRead, save_mould),
    catalogue("sealers", "sealer", Sealer, SealerCreate, SealerRead, save_sealer),
)
