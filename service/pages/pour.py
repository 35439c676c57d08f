"""The page of one piece: what may be done now, the picture, what comes later, what was logged."""

from typing import Any

from fastapi import APIRouter, Response
from markupsafe import Markup

from models.message import Message
from models.records import Pour, Shop
from service.actions.record.care_sheet import care_sheet
from service.actions.windows.scenario_rows import shape_of
from service.answers import (
    AnswerResponse,
    ConcreteResponse,
    PourSummaryResponse,
    read_answer,
    read_concrete,
    told,
)
from service.nouns.form import Form
from service.nouns.tonight import NIGHT
from service.pages import (
    again,
    alarms,
    assumed,
    bears,
    checks,
    how,
    logged,
    next_thing,
    page_data,
    piece_steps,
    render,
    timeline_picture,
    view,
)
from service.pages.form_post import PageRoute
from service.pages.piece_steps import Told
from service.queries.poured import piece_label
from service.queries.pours import photos_of
from service.queries.rows import find, find_shop
from service.request_context import ContextDep, Key, RequestContext
from service.words import Reader, chance, say

router = APIRouter(route_class=PageRoute, include_in_schema=False)
NOTHING = AnswerResponse(pour=PourSummaryResponse(), steps=[], warnings=[], evidence="")
CLOSE_WORDS = {"finished": "Finished", "lost": "Broken", "logged by mistake": "Wrong entry"}


@router.get("/pours/{pour_id}")
def show(pour_id: Key, context: ContextDep) -> Response:
    with context.store.reading() as session:
        photos, shop = photos_of(session, pour_id), find_shop(session)
        row = find(session, Pour, pour_id, "pour_id")
        series, differs = again.place(session, row, context.reader())
    data = next_thing.reckoned(context, page_data.of_pour(context, pour_id))
    clock = view.Clock(context.now, context.reader(data.place.timezone, data.pour.placed_at))
    return render.page(
        "pour.html",
        title=piece_label(data.pour),
        label=piece_label(data.pour),
        reader=clock.reader,
        data=data,
        clock=clock,
        age=view.age(context.now - data.pour.placed_at),
        facts=logged.facts(data, clock),
        logged=logged.entries(data, clock),
        covers=logged.covers(data, clock),
        close_words=CLOSE_WORDS,
        question=how.question(data, context),
        **_bears(context, data, clock.reader),
        closed=CLOSE_WORDS.get(data.pour.closed_why, data.pour.closed_why),
        photo=photos[-1] if photos else None,
        series=series,
        differs=differs,
        assumed=assumed.of_pour(
            data.assumed, page_data.usual(context, data), clock.reader, data.pour
        ),
        attribution=page_data.credit(context.weather, [data.weather]),
        night=Form.of(NIGHT, None, clock.reader),
        chance=lambda share: chance(share, clock.reader),
        **_reckoned(data, shop, clock),
    )


def _bears(context: RequestContext, data: page_data.PourData, reader: Reader) -> dict[str, Any]:
    """Of a finished piece, from when it bears what; the others have their steps."""
    if data.pour.closed_why != "finished":
        return {"bears": [], "coats_left": ""}
    with context.store.reading() as session:
        sheet = care_sheet(session, data.pour.id)
    left = sheet.coats - sheet.coats_done
    words = (
        f"{left} of {sheet.coats} coats are not on: the dates count on them." if left > 0 else ""
    )
    return {"bears": bears.known(sheet, reader), "coats_left": words}


def _timeline(
    data: page_data.PourData,
    answer: AnswerResponse,
    concrete: ConcreteResponse | None,
    shop: Shop,
    clock: view.Clock,
) -> Markup | None:
    """The picture of an open pour that was worked out; where no hour could be, there is none."""
    if data.projection is None or data.pour.closed_at is not None:
        return None
    if all(one.state == "blocked" for one in answer.steps):
        return None
    around = timeline_picture.Around.rows(data.place, shop)
    return timeline_picture.of(answer, concrete, around, clock.reader, clock, data.piece.name)


def _reckoned(data: page_data.PourData, shop: Shop, clock: view.Clock) -> dict[str, Any]:
    """Steps, warnings, coats and picture of the newest reckoning; empty where there is none."""
    row, page = data.projection, f"/pours/{data.pour.id}"
    answer, concrete, steps = NOTHING, None, Told((), (), (), ())
    if row is not None:
        answer, concrete = told(read_answer(row.answer), clock.reader), read_concrete(row.concrete)
        steps = piece_steps.told(answer.steps, clock, row.checked_at)
    seen = {reading.kind for reading in data.readings if not reading.wrong}
    return {
        "steps": steps,
        "checks": {
            one.step: checks.of_step(one.step, page, seen, clock.reader, shape_of(data.piece))
            for one in steps.next
        },
        "warnings": alarms.of(answer, clock.now, page, clock.reader),
        "evidence": answer.evidence,
        "caution": answer.pour.caution,
        "checked": clock(row.checked_at) if row else None,
        "moved": say(Message(**row.moved), clock.reader) if row and row.moved else "",
        "blocked": concrete is None,
        "plan": answer.coat_plan,
        "acts": view.acts(answer.plan, answer.steps, clock),
        "timeline": _timeline(data, answer, concrete, shop, clock),
    }
