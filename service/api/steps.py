"""Steps marked done, and undone."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Pour, StepDone
from service.actions.mark_step_done import mark_step_done, undo_step
from service.api.fields import LARGEST_KEY, Asked, Instant, Told
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find, of_pour

router = APIRouter(tags=["steps"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
StepWord = Annotated[str, Path(pattern=r"^[a-z]+(-[a-z0-9]+)*$", max_length=40)]


class DoneAsked(Asked):
    at: Instant | None = None


class StepTold(Told):
    id: int
    created_at: datetime
    pour_id: int
    step: str
    at: datetime
    undone_at: datetime | None


@router.post("/pours/{pour_id}/steps/{step}/done", status_code=201, response_model=StepTold)
def mark_done(
    pour_id: PourId, step: StepWord, once: OnceDep, wanted: DoneAsked | None = None
) -> JSONResponse:
    door = once.door
    at = (wanted.at if wanted else None) or door.now
    return once.write(
        lambda session: StepTold.model_validate(
            mark_step_done(session, door.now, pour_id, step, at)
        ),
        then=lambda _: door.recompute(pour_id),
    )


@router.post("/pours/{pour_id}/steps/{step}/undo", response_model=StepTold)
def undo_done(pour_id: PourId, step: StepWord, once: OnceDep) -> JSONResponse:
    door = once.door
    return once.write(
        lambda session: StepTold.model_validate(undo_step(session, door.now, pour_id, step)),
        status=200,
        then=lambda _: door.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/steps")
def list_done(pour_id: PourId, door: DoorDep) -> list[StepTold]:
    """Everything that was marked, with what was undone; the windows are in the projection."""
    with door.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, StepDone, pour_id)
        return [StepTold.model_validate(row) for row in rows]
