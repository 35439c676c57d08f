"""Cubes, cylinders and bars that were broken."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Pour, StrengthTest
from models.records.fields import LARGEST_KEY
from service.actions.record_strength_test import record_strength_test, remove_strength_test
from service.api.idempotency import ContextDep, IdempotentPostDep
from service.nouns.strength_test import StrengthTestCreate, StrengthTestRead
from service.queries.rows import find, of_pour

router = APIRouter(tags=["strength tests"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
TestId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


@router.post("/pours/{pour_id}/strength-tests", status_code=201, response_model=StrengthTestRead)
def add_strength_test(
    pour_id: PourId, wanted: StrengthTestCreate, post: IdempotentPostDep
) -> JSONResponse:
    context = post.context
    return post.write(
        lambda session: StrengthTestRead.model_validate(
            record_strength_test(session, context.now, pour_id, wanted)
        ),
        then=lambda _: context.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/strength-tests")
def list_strength_tests(pour_id: PourId, context: ContextDep) -> list[StrengthTestRead]:
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, StrengthTest, pour_id)
        return [StrengthTestRead.model_validate(row) for row in rows]


@router.delete("/strength-tests/{strength_test_id}", status_code=204)
def delete_strength_test(strength_test_id: TestId, context: ContextDep) -> None:
    with context.store.unit_of_work() as session:
        pour_id = find(session, StrengthTest, strength_test_id, "strength_test_id").pour_id
        remove_strength_test(session, context.now, strength_test_id)
    context.recompute(pour_id)
