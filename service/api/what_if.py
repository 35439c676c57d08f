"""What would another plan bring for a pour? Nothing is stored."""

from zoneinfo import ZoneInfo

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from models.results import Trial
from service.actions.shop.costs import Costs, of_trial
from service.actions.windows.try_plan import Tried, try_plan
from service.answer_fields import as_json
from service.answers import EarliestResponse
from service.api.idempotency import IdempotentPostDep
from service.nouns.plan import PlanEntryRead
from service.nouns.what_if import OutlookRead, TriedStepRead, WhatIfRead, WhatIfRequest
from service.queries.pours import zone_of
from service.queries.rows import find_shop
from service.request_context import Key

router = APIRouter(tags=["pours"])


@router.post("/pours/{pour_id}/what-if", response_model=WhatIfRead)
def what_if(pour_id: Key, wanted: WhatIfRequest, post: IdempotentPostDep) -> JSONResponse:
    """The next three steps and the frost, as planned and as tried, while a thumb moves."""
    context = post.context

    def tried() -> WhatIfRead:
        found = try_plan(context.store, context.bases, post.now, pour_id, wanted)
        with context.store.reading() as session:
            zone = ZoneInfo(zone_of(session, pour_id))
            return read(found, of_trial(found, wanted, find_shop(session), zone))

    return post.compute(tried)


def read(found: Tried, costs: Costs | None = None) -> WhatIfRead:
    """A trial as JSON tells it."""
    message = None if found.missing is None else as_json(found.missing.message)
    return WhatIfRead(
        pour_id=found.pour_id,
        made_at=found.made_at,
        planned=_outlook(found.planned),
        tried=_outlook(found.tried),
        plan=[PlanEntryRead.model_validate(one) for one in found.plan],
        missing=message,
        costs_more=None if costs is None else round(costs.money, 2),
    )


def _outlook(one: Trial | None) -> OutlookRead:
    if one is None:
        return OutlookRead(steps=[], frost_chance=None, lowest_C=None)
    steps = [
        TriedStepRead(
            step=step.window.step,
            state=step.window.state,
            earliest=EarliestResponse.model_validate(step.window.earliest, from_attributes=True),
            level=step.window.level,
            meant_at=step.meant_at,
            set_by=step.set_by,
            chance_then=None if step.chance is None else round(step.chance, 3),
        )
        for step in one.steps
    ]
    return OutlookRead(
        steps=steps, frost_chance=round(one.frost_chance, 3), lowest_C=round(one.lowest_C, 2)
    )
