"""What keeps a pour warm or wet: on, off, and logged by mistake."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Pour, ProtectionPeriod
from models.records.fields import LARGEST_KEY, Instant
from service.actions.change_protection import put_on, remove_protection, take_off
from service.api.idempotency import ContextDep, IdempotentPostDep
from service.nouns.base import RequestBody
from service.nouns.cover import ProtectionCreate, ProtectionRead
from service.queries.rows import find, of_pour

router = APIRouter(tags=["protections"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
ProtectionId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class OffRequest(RequestBody):
    at: Instant | None = None


@router.post("/pours/{pour_id}/protections", status_code=201, response_model=ProtectionRead)
def put_protection_on(
    pour_id: PourId, wanted: ProtectionCreate, post: IdempotentPostDep
) -> JSONResponse:
    context = post.context
    return post.write(
        lambda session: ProtectionRead.model_validate(
            put_on(session, context.now, pour_id, wanted)
        ),
        then=lambda _: context.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/protections")
def list_protections(pour_id: PourId, context: ContextDep) -> list[ProtectionRead]:
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, ProtectionPeriod, pour_id, "from_at")
        return [ProtectionRead.model_validate(row) for row in rows]


@router.post("/protections/{protection_id}/off", response_model=ProtectionRead)
def take_protection_off(
    protection_id: ProtectionId, wanted: OffRequest, post: IdempotentPostDep
) -> JSONResponse:
    context = post.context
    return post.write(
        lambda session: ProtectionRead.model_validate(
            take_off(session, context.now, protection_id, wanted.at or context.now)
        ),
        status=200,
        then=lambda told: context.recompute(int(str(told["pour_id"]))),
    )


@router.delete("/protections/{protection_id}", status_code=204)
def delete_protection(protection_id: ProtectionId, context: ContextDep) -> None:
    with context.store.unit_of_work() as session:
        pour_id = find(session, ProtectionPeriod, protection_id, "protection_id").pour_id
        remove_protection(session, context.now, protection_id)
    context.recompute(pour_id)
