"""The care sheet: what goes along with a piece to whoever owns it."""

from fastapi import APIRouter, Request, Response

from models.message import Message
from service.actions.record.care_sheet import CareSheet, care_sheet
from service.pages import bears, qr, render
from service.pages.form_post import PageRoute
from service.queries.jobs import pours_due
from service.request_context import ContextDep, Key
from service.words import measure, say
from service.words.instants import instant

router = APIRouter(prefix="/pours/{pour_id}", route_class=PageRoute, include_in_schema=False)


@router.get("/care")
def care_page(request: Request, pour_id: Key, context: ContextDep) -> Response:
    with context.store.reading() as session:
        due = pour_id in pours_due(session, context.now)
    if due:  # the same hours as on the page of the pour, which does the same
        context.recompute(pour_id)
    with context.store.reading() as session:
        sheet = care_sheet(session, pour_id)
    reader = context.reader(sheet.timezone, sheet.placed_at)
    address = qr.address(context.settings, str(request.base_url), f"/pours/{pour_id}/care")
    return render.page(
        "care.html",
        title=f"Care: {sheet.piece}",
        reader=reader,
        sheet=sheet,
        shape=say(sheet.shape, reader),
        reseal=say(_reseal(sheet), reader),
        known=bears.known(sheet, reader),
        later=[say(one.what, reader) for one in sheet.from_when if not one.at],
        by_code=lambda code: say(Message(code), reader),
        date=lambda at: instant(at, "date", reader),
        mass=measure(sheet.mass_kg, "mass_kg", reader),
        address=address,
        square=qr.drawn(address),
    )


def _reseal(sheet: CareSheet) -> Message:
    low, high = sheet.reseal_years
    if high <= 1:
        months = {"from_months": 12 * low, "to_months": 12 * high}
        return Message("care_reseal_months", months)
    return Message("care_reseal_years", {"from_years": low, "to_years": high})
