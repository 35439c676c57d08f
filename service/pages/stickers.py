"""Stickers for the moulds: a name, a number, and a square that leads to what lies in the mould."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import RedirectResponse
from markupsafe import Markup

from models.records import Mould, Pour
from models.records.fields import LARGEST_KEY
from service.pages import qr, render
from service.pages.form_post import PageRoute
from service.queries.pours import active_where
from service.queries.rows import by_name, find
from service.request_context import ContextDep, Key
from service.words import spelt

router = APIRouter(route_class=PageRoute, include_in_schema=False)
MOST = 21  # of one mould: three by seven fill a sheet of A4 or Letter


@dataclass(frozen=True)
class Sticker:
    name: str
    number: int
    address: str
    square: Markup


@router.get("/stickers")
def sheet(
    request: Request,
    context: ContextDep,
    mould: Annotated[int | None, Query(ge=1, le=LARGEST_KEY)] = None,
    copies: Annotated[int, Query(ge=1, le=MOST)] = 1,
) -> Response:
    """A sticker of every mould, or so many of one."""
    reader = context.reader()
    with context.store.reading() as session:
        if mould is None:
            moulds = list(by_name(session, Mould))
        else:
            moulds = [find(session, Mould, mould, "mould")] * copies
    return render.page(
        "stickers.html",
        title=spelt("Stickers for the moulds", reader),
        reader=reader,
        stickers=[_sticker(context, request, one) for one in moulds],
        one=moulds[0] if mould is not None else None,
    )


@router.get("/in/{mould_id}")
def in_mould(mould_id: Key, context: ContextDep) -> Response:
    """From the sticker: the piece that lies in this mould, else the page that logs the next."""
    with context.store.reading() as session:
        find(session, Mould, mould_id, "mould")
        held = active_where(session, Pour.mould_id == mould_id)  # type: ignore[arg-type]
    newest = max(held, key=lambda pour: pour.placed_at, default=None)
    return RedirectResponse("/pour" if newest is None else f"/pours/{newest.id}", 303)


def _sticker(context: ContextDep, request: Request, mould: Mould) -> Sticker:
    address = qr.address(context.settings, str(request.base_url), f"/in/{mould.id}")
    return Sticker(mould.name, mould.id, address, qr.drawn(address))
