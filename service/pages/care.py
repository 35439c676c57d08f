"""The care sheet: what goes along with a piece to whoever owns it."""

from fastapi import APIRouter, Request, Response

from service.actions.record.care_sheet import care_sheet
from service.pages import care_words, qr, render
from service.pages.form_post import PageRoute
from service.queries.jobs import pours_due
from service.queries.owner_links import that_counts
from service.request_context import ContextDep, Key

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)


@router.get("/care")
def care_page(request: Request, pour_id: Key, context: ContextDep) -> Response:
    with context.store.reading() as session:
        due = pour_id in pours_due(session, context.now)
    if due:  # the same hours as on the page of the pour, which does the same
        context.recompute(pour_id)
    with context.store.reading() as session:
        sheet, link = care_sheet(session, pour_id), that_counts(session, pour_id)
    reader = context.reader(sheet.timezone, sheet.placed_at)
    path = f"/c/{link.code}" if link else ""
    address = qr.address(context.settings, str(request.base_url), path) if link else ""
    return render.page(
        "care.html",
        title=f"Care: {sheet.piece}",
        reader=reader,
        sheet=sheet,
        path=path,
        square=qr.drawn(address),
        **care_words.shown(sheet, reader),
    )
