"""What is looked at before a pour, and what is ticked."""

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from service.actions.pours import before_pour
from service.actions.pours.before_pour import Before
from service.answer_fields import as_json
from service.api.idempotency import IdempotentPostDep
from service.nouns.before import BeforeRead, ItemRead, TickedRequest
from service.request_context import ContextDep, Key

router = APIRouter(tags=["pours"])


@router.get("/pours/{pour_id}/before")
def check_list(pour_id: Key, context: ContextDep) -> BeforeRead:
    """The check list, made from piece, mould and plan; what is ticked."""
    with context.store.reading() as session:
        return _read(before_pour.before(session, pour_id))


@router.post("/pours/{pour_id}/before", response_model=BeforeRead)
def tick(pour_id: Key, wanted: TickedRequest, post: IdempotentPostDep) -> JSONResponse:
    """What is ticked from now on; the hour of what was ticked before stays."""
    return post.write(
        BeforeRead,
        lambda session: _read(before_pour.tick(session, post.now, pour_id, set(wanted.ticked))),
        status=200,
    )


def _read(told: Before) -> BeforeRead:
    items = [
        ItemRead(
            key=one.key,
            says=[as_json(says) for says in one.says],
            ticked_at=told.ticked.get(one.key),
        )
        for one in told.items
    ]
    ready = all(one.ticked_at is not None for one in items)
    return BeforeRead(pour_id=told.pour.id, items=items, ready=ready)
