"""Steps marked done, and undone."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Pour, StepDone
from service.actions.pours.mark_step_done import mark_step_done, undo_step
from service.api.idempotency import ContextDep, IdempotentPostDep, PourId
from service.nouns.step import StepDoneCreate, StepDoneRead
from service.queries.rows import find, of_pour

router = APIRouter(tags=["steps"])
StepWord = Annotated[str, Path(pattern=r"^[a-z]+(-[a-z0-9]+)*$", max_length=40)]


@router.post("/pours/{pour_id}/steps/{step}/done", status_code=201, response_model=StepDoneRead)
def mark_done(
    pour_id: PourId, step: StepWord, post: IdempotentPostDep, wanted: StepDoneCreate | None = None
) -> JSONResponse:
    context = post.context
    at = (wanted.at if wanted else None) or context.now
    return post.write(
        lambda session: StepDoneRead.model_validate(
            mark_step_done(session, context.now, pour_id, step, at)
        ),
        then=lambda _: context.recompute(pour_id),
    )


@router.post("/pours/{pour_id}/steps/{step}/undo", response_model=StepDoneRead)
def undo_done(pour_id: PourId, step: StepWord, post: IdempotentPostDep) -> JSONResponse:
    context = post.context
    return post.write(
        lambda session: StepDoneRead.model_validate(undo_step(session, context.now, pour_id, step)),
        status=200,
        then=lambda _: context.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/steps")
def list_done(pour_id: PourId, context: ContextDep) -> list[StepDoneRead]:
    """Everything that was marked, with what was undone; the windows are in the projection."""
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, StepDone, pour_id)
        return [StepDoneRead.model_validate(row) for row in rows]
