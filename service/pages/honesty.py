"""How good the answers of this shop were: the table and the picture of `castclock honesty`."""

from fastapi import APIRouter, Response

from models.message import Message
from models.planning.honesty import FEWEST
from service import honesty_told
from service.actions.record.honesty import read_honesty
from service.pages import render
from service.pages.form_post import PageRoute
from service.request_context import ContextDep
from service.words import say

MOST = 40  # pours that a page looks at: a tenth of a second each
router = APIRouter(prefix="/shop", route_class=PageRoute, include_in_schema=False)


@router.get("/honesty")
def honesty(context: ContextDep) -> Response:
    """What was seen and broken against what was told; few say nothing and are told to be few."""
    found, reader = read_honesty(context.store, context.now, MOST), context.reader()
    told = [Message("honesty_how")]
    if not found.cases:
        told.append(Message("honesty_none"))
    elif len(found.cases) < FEWEST:
        told.append(Message("honesty_few", {"fewest": FEWEST}))
    notes = []
    if found.outcomes.count:
        notes.append(Message("honesty_weak", vars(found.outcomes)))
    if found.untold:
        notes.append(Message("honesty_untold", {"untold": found.untold}))
    if found.older:
        notes.append(Message("honesty_older"))
    return render.page(
        "honesty.html",
        title=say(Message("honesty_title"), reader),
        tab="shop",
        reader=reader,
        told=[say(one, reader) for one in told],
        count=say(
            Message("honesty_count", {"cases": len(found.cases), "pours": found.pours}), reader
        ),
        heads=[say(Message(f"honesty_head_{one}"), reader) for one in honesty_told.HEADS],
        rows=honesty_told.table(found.cases, reader),
        picture=honesty_told.picture(found.cases, reader) if found.cases else "",
        notes=[say(one, reader) for one in notes],
    )
