"""Cubes, cylinders and bars that were broken."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Pour, StrengthTest
from service.actions.record_strength_test import record_strength_test, remove_strength_test
from service.api.fields import LARGEST_KEY, Asked, Instant, Note, Stress, Told, Word
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find, of_pour

router = APIRouter(tags=["strength tests"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
TestId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class StrengthTestAsked(Asked):
    kind: Word
    MPa: Stress
    at: Instant | None = None
    note: Note = ""


class StrengthTestTold(Told):
    id: int
    created_at: datetime
    pour_id: int
    at: datetime
    kind: str
    MPa: float
    note: str


@router.post("/pours/{pour_id}/strength-tests", status_code=201, response_model=StrengthTestTold)
def add_strength_test(pour_id: PourId, wanted: StrengthTestAsked, once: OnceDep) -> JSONResponse:
    door = once.door
    values = {**wanted.model_dump(), "at": wanted.at or door.now}
    return once.write(
        lambda session: StrengthTestTold.model_validate(
            record_strength_test(session, door.now, pour_id, **values)
        ),
        then=lambda _: door.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/strength-tests")
def list_strength_tests(pour_id: PourId, door: DoorDep) -> list[StrengthTestTold]:
    with door.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, StrengthTest, pour_id)
        return [StrengthTestTold.model_validate(row) for row in rows]


@router.delete("/strength-tests/{strength_test_id}", status_code=204)
def delete_strength_test(strength_test_id: TestId, door: DoorDep) -> None:
    with door.store.unit_of_work() as session:
        pour_id = find(session, StrengthTest, strength_test_id, "strength_test_id").pour_id
        remove_strength_test(session, door.now, strength_test_id)
    door.recompute(pour_id)
