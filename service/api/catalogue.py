"""What the shop owns, noun by noun: places, mixes, pieces, moulds, sealers, orders; one router."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any, TypeVar

from fastapi import APIRouter, Body, Path, Query
from fastapi.responses import JSONResponse
from pydantic import Field as Limit
from sqlmodel import Session

from models.records import Mix, Mould, Order, Owned, Piece, Place, Sealer
from models.records.fields import LARGEST_KEY
from service.actions.pours import doubtful
from service.actions.shop.archive import bring_back, put_away
from service.actions.shop.calibrate import forget_mix, forget_place
from service.actions.shop.orders import save_order
from service.actions.shop.set_up_shop import (
    save_mix,
    save_mould,
    save_piece,
    save_place,
    save_sealer,
)
from service.api.edition import ChangeDep, LookDep
from service.api.idempotency import IdempotentPostDep
from service.api.listing import PageDep
from service.nouns.base import As, RequestBody, Stored
from service.nouns.mix import MixCreate, MixRead
from service.nouns.mould import MouldCreate, MouldRead
from service.nouns.order import OrderCreate, OrderRead
from service.nouns.piece import PieceCreate, PieceRead
from service.nouns.place import PlaceCreate, PlaceRead
from service.nouns.sealer import SealerCreate, SealerRead
from service.queries.rows import by_name, find
from service.request_context import ContextDep

C = TypeVar("C", bound=RequestBody)
R = TypeVar("R", bound=Stored)
PourKey = Annotated[int, Limit(ge=1, le=LARGEST_KEY)]
NamePart = Annotated[str, Query(max_length=120, description="a part of the name")]
PutAway = Annotated[bool, Query(description="those put away instead")]
APPLY = (
    "keys of pours under way that were poured so too; the others stay as they were poured."
    " A place is where its pours stand: all under way take its change."
)
Save = Callable[[Session, datetime, Mapping[str, Any], int | None, Sequence[int]], Owned]


@dataclass(frozen=True)
class Forget:
    """How a row lets go of what it was taught, and what is told of that."""

    work: Callable[[Session, datetime, int], Owned]
    words: str


def catalogue(
    path: str,
    noun: str,
    table: type[Owned],
    create: type[C],
    read: type[R],
    save: Save,
    forget: Forget | None = None,
    *,
    listed: bool = True,
) -> APIRouter:
    """Add, list, read and change the rows of a noun; `create` and `read` are its descriptions.

    listed : False where the list tells more than the rows and has a route of its own
    """
    key = f"{noun}_id"
    row_path = Path(alias=key, ge=1, le=LARGEST_KEY)
    router = APIRouter(prefix=f"/{path}", tags=[path])

    def saved(
        session: Session,
        now: datetime,
        wanted: C,
        row_id: int | None = None,
        pours: Sequence[int] = (),
    ) -> R:
        values = wanted.model_dump(exclude={"confirm"})
        row = save(session, now, values, row_id, pours)
        if isinstance(wanted, PieceCreate):
            doubtful.ask(doubtful.of_piece(values), wanted.confirm)  # rolls back
        return read.model_validate(row)

    @router.post("", name=f"add_{noun}", status_code=201, response_model=read)
    def add(wanted: Annotated[C, Body(), As(create)], post: IdempotentPostDep) -> JSONResponse:
        return post.write(read, lambda session: saved(session, post.now, wanted))

    if forget is not None:

        @router.post(
            f"/{{{key}}}/forget",
            name=f"forget_{noun}",
            response_model=read,
            description=forget.words,
        )
        def forget_calibration(
            row_id: Annotated[int, row_path], post: IdempotentPostDep
        ) -> JSONResponse:
            return post.write(
                read, lambda session: forget.work(session, post.now, row_id), status=200
            )

    if listed:

        @router.get("", name=f"list_{path}")
        def rows(
            context: ContextDep, page: PageDep, q: NamePart = "", archived: PutAway = False
        ) -> list[Annotated[R, As(read)]]:
            with context.store.reading() as session:
                found = by_name(session, table, archived=archived, q=q, part=page.part)
                return page.told([read.model_validate(row) for row in found])

    @router.post(f"/{{{key}}}/archive", name=f"archive_{noun}", response_model=read)
    def archive(row_id: Annotated[int, row_path], post: IdempotentPostDep) -> JSONResponse:
        """Put away: offered no more; pours that name it keep it."""
        return post.write(read, lambda s: put_away(s, post.now, noun, row_id), status=200)

    @router.post(f"/{{{key}}}/restore", name=f"restore_{noun}", response_model=read)
    def restore(row_id: Annotated[int, row_path], post: IdempotentPostDep) -> JSONResponse:
        return post.write(read, lambda s: bring_back(s, post.now, noun, row_id), status=200)

    @router.get(f"/{{{key}}}", name=f"read_{noun}")
    def row(
        row_id: Annotated[int, row_path], context: ContextDep, edition: LookDep
    ) -> Annotated[R, As(read)]:
        with context.store.reading() as session:
            return edition.told(read.model_validate(find(session, table, row_id, key)))

    @router.put(f"/{{{key}}}", name=f"change_{noun}")
    def change(
        row_id: Annotated[int, row_path],
        wanted: Annotated[C, Body(), As(create)],
        context: ContextDep,
        edition: ChangeDep,
        apply_to_pours: Annotated[list[PourKey] | None, Query(description=APPLY)] = None,
    ) -> Annotated[R, As(read)]:
        with context.store.unit_of_work() as session:
            before = read.model_validate(find(session, table, row_id, key))
            body = saved(session, context.now, wanted, row_id, apply_to_pours or ())
            edition.must_have_been(before)
        return edition.told(body)

    return router


def _save_place(
    session: Session,
    now: datetime,
    values: Mapping[str, Any],
    place_id: int | None,
    _pours: Sequence[int],
) -> Place:
    return save_place(session, now, values, place_id)


FORGET_PLACE = Forget(forget_place, "Let go of what readings taught; those from now on teach anew.")
FORGET_MIX = Forget(forget_mix, "Let go of what results taught; pours from now on teach anew.")
ROUTERS = (
    catalogue("places", "place", Place, PlaceCreate, PlaceRead, _save_place, FORGET_PLACE),
    catalogue("mixes", "mix", Mix, MixCreate, MixRead, save_mix, FORGET_MIX),
    catalogue("pieces", "piece", Piece, PieceCreate, PieceRead, save_piece),
    catalogue("moulds", "mould", Mould, MouldCreate, MouldRead, save_mould, listed=False),
    catalogue("sealers", "sealer", Sealer, SealerCreate, SealerRead, save_sealer),
    catalogue("orders", "order", Order, OrderCreate, OrderRead, save_order),
)
