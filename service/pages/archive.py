"""What is finished, and what was put away: lists with a search, and the way back."""

from collections.abc import Callable
from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Response
from sqlmodel import Session

from models.message import Message
from models.records import Owned
from models.records.fields import LARGEST_KEY
from service.actions.shop.archive import bring_back, put_away
from service.nouns.form import Form
from service.pages import render, view
from service.pages.flash import Landing
from service.pages.form_post import FormPost, FormPostDep, PageRoute
from service.queries.part import Part
from service.queries.poured import TABLES, piece_label
from service.queries.pours import page_of
from service.queries.rows import NoSuchRow, by_name
from service.request_context import ContextDep, Key
from service.words import say

A_PAGE = 30
PLURALS = {
    "piece": "Pieces",
    "mix": "Mixes",
    "place": "Places",
    "mould": "Moulds",
    "sealer": "Sealers",
}
router = APIRouter(prefix="/shop", route_class=PageRoute, include_in_schema=False)
Search = Annotated[str, Query(max_length=120)]
Noun = Annotated[str, Path(max_length=20)]
Work = Callable[[Session, datetime, str, int], Owned]


@router.get("/finished")
def finished(
    context: ContextDep,
    q: Search = "",
    before_id: Annotated[int | None, Query(ge=1, le=LARGEST_KEY)] = None,
) -> Response:
    """Pours that are closed, the newest first."""
    clock, part = view.Clock(context.now, context.reader()), Part(A_PAGE)
    with context.store.reading() as session:
        rows = page_of(session, part, active=False, before_id=before_id, q=q.strip())
        pours = [
            (row.id, piece_label(row), clock.at(row.placed_at), row.closed_why) for row in rows
        ]
    return render.page(
        "finished.html",
        title="Finished pours",
        honesty=say(Message("honesty_title"), context.reader()),
        tab="shop",
        reader=context.reader(),
        q=q,
        pours=pours,
        first=before_id is None,
        older=render.query({"q": q, "before_id": pours[-1][0]}) if part.more else "",
    )


@router.get("/things")
def things(context: ContextDep, q: Search = "") -> Response:
    """All that the shop owns, and below it what was put away."""
    with context.store.reading() as session:
        used, away = (
            [
                (noun, PLURALS[noun], by_name(session, table, archived=archived, q=q.strip()))
                for noun, table in TABLES.items()
            ]
            for archived in (False, True)
        )
    return render.page(
        "things.html",
        title="Things",
        tab="shop",
        reader=context.reader(),
        q=q,
        used=[one for one in used if one[2] or not q],
        away=[one for one in away if one[2]],
    )


@router.post("/{noun}/{row_id}/archive")
def archive(noun: Noun, row_id: Key, post: FormPostDep) -> Response:
    return _moved(noun, row_id, post, put_away, "saved_away", "restore")


@router.post("/{noun}/{row_id}/restore")
def restore(noun: Noun, row_id: Key, post: FormPostDep) -> Response:
    return _moved(noun, row_id, post, bring_back, "saved_brought", "archive")


def _moved(
    noun: str, row_id: int, post: FormPost, work: Work, said: str, opposite: str
) -> Response:
    if noun not in TABLES:
        raise NoSuchRow("address", noun, "nothing is there", " | ".join(TABLES))

    def store(session: Session) -> Landing:
        row: Any = work(session, post.context.now, noun, row_id)
        page = f"/shop/{noun}/{row_id}"
        return Landing(page, said, {"name": row.name}, f"{page}/{opposite}")

    return post.write(Form.of([], post.fields), store)
