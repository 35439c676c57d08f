"""Steps marked done, and undone."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Pour, StepDone
from service.actions.pours.mark_step_done import mark_step_done, undo_step
from service.actions.pours.tell_how import tell_came_out, tell_held_up, tell_sealed_as
from service.api.idempotency import IdempotentPostDep
from service.api.listing import PageDep
from service.nouns.pour import PourRead
from service.nouns.step import HowItHeldUp, HowItSealed, HowRequest, StepDoneCreate, StepDoneRead
from service.queries.rows import find, of_pour
from service.request_context import ContextDep, Key

router = APIRouter(tags=["steps"])
StepWord = Annotated[str, Path(pattern=r"^[a-z]+(-[a-z0-9]+)*$", max_length=40)]


@router.post("/pours/{pour_id}/steps/{step}/done", status_code=201, response_model=StepDoneRead)
def mark_done(
    pour_id: Key, step: StepWord, post: IdempotentPostDep, wanted: StepDoneCreate | None = None
) -> JSONResponse:
    wanted = wanted or StepDoneCreate()
    at, took_min = wanted.at or post.now, wanted.took_min
    return post.write(
        StepDoneRead,
        lambda session: mark_step_done(session, post.now, pour_id, step, at, took_min),
        recompute="pour_id",
    )


@router.post("/pours/{pour_id}/steps/{step}/undo", response_model=StepDoneRead)
def undo_done(pour_id: Key, step: StepWord, post: IdempotentPostDep) -> JSONResponse:
    return post.write(
        StepDoneRead,
        lambda session: undo_step(session, post.now, pour_id, step),
        status=200,
        recompute="pour_id",
    )


@router.post("/pours/{pour_id}/came-out", response_model=StepDoneRead)
def came_out(pour_id: Key, wanted: HowRequest, post: IdempotentPostDep) -> JSONResponse:
    """How it came out of its mould."""
    return post.write(
        StepDoneRead, lambda session: tell_came_out(session, pour_id, wanted.how), status=200
    )


@router.post("/pours/{pour_id}/sealed-as", response_model=PourRead)
def sealed_as(pour_id: Key, wanted: HowItSealed, post: IdempotentPostDep) -> JSONResponse:
    """How its seal looks, once it has a coat."""
    return post.write(
        PourRead, lambda session: tell_sealed_as(session, pour_id, wanted.how), status=200
    )


@router.post("/pours/{pour_id}/held-up", response_model=PourRead)
def held_up(pour_id: Key, wanted: HowItHeldUp, post: IdempotentPostDep) -> JSONResponse:
    """How it had held up, a month after the pour or later."""
    return post.write(
        PourRead, lambda session: tell_held_up(session, post.now, pour_id, wanted.how), status=200
    )


@router.get("/pours/{pour_id}/steps")
def list_done(pour_id: Key, context: ContextDep, page: PageDep) -> list[StepDoneRead]:
    """Everything that was marked, with what was undone; the windows are in the projection."""
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, StepDone, pour_id, part=page.part)
        return page.told([StepDoneRead.model_validate(row) for row in rows])
