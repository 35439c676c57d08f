"""Cubes, cylinders and bars that were broken."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Pour, StrengthTest
from models.records.fields import LARGEST_KEY
from service.actions.record_strength_test import record_strength_test, remove_strength_test
from service.api.once import DoorDep, OnceDep
from service.nouns.strength_test import StrengthTestCreate, StrengthTestRead
from service.queries.rows import find, of_pour

router = APIRouter(tags=["strength tests"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
TestId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/pours/{pour_id}/strength-tests", status_code=201, response_model=StrengthTestRead)
def add_strength_test(pour_id: PourId, wanted: StrengthTestCreate, once: OnceDep) -> JSONResponse:
    door = once.door
    return once.write(
        lambda session: StrengthTestRead.model_validate(
            record_strength_test(session, door.now, pour_id, wanted)
        ),
        then=lambda _: door.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/strength-tests")
def list_strength_tests(pour_id: PourId, door: DoorDep) -> list[StrengthTestRead]:
    with door.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, StrengthTest, pour_id)
        return [StrengthTestRead.model_validate(row) for row in rows]


@router.delete("/strength-tests/{strength_test_id}", status_code=204)
def delete_strength_test(strength_test_id: TestId, door: DoorDep) -> None:
    with door.store.unit_of_work() as session:
        pour_id = find(session, StrengthTest, strength_test_id, "strength_test_id").pour_id
        remove_strength_test(session, door.now, strength_test_id)
    door.recompute(pour_id)
