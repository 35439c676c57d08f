"""What keeps a pour warm or wet: on, off, and logged by mistake."""

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Pour, ProtectionPeriod
from models.records.fields import LARGEST_KEY
from service.actions.change_protection import put_on, remove_protection, take_off
from service.api.once import DoorDep, OnceDep
from service.nouns.base import Instant, RequestBody
from service.nouns.cover import ProtectionCreate, ProtectionRead
from service.queries.rows import find, of_pour

router = APIRouter(tags=["protections"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
ProtectionId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class OffRequest(RequestBody):
    at: Instant | None = None


@router.post("/pours/{pour_id}/protections", status_code=201, response_model=ProtectionRead)
def put_protection_on(pour_id: PourId, wanted: ProtectionCreate, once: OnceDep) -> JSONResponse:
    door = once.door
    return once.write(
        lambda session: ProtectionRead.model_validate(put_on(session, door.now, pour_id, wanted)),
        then=lambda _: door.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/protections")
def list_protections(pour_id: PourId, door: DoorDep) -> list[ProtectionRead]:
    with door.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, ProtectionPeriod, pour_id, "from_at")
        return [ProtectionRead.model_validate(row) for row in rows]


@router.post("/protections/{protection_id}/off", response_model=ProtectionRead)
def take_protection_off(
    protection_id: ProtectionId, wanted: OffRequest, once: OnceDep
) -> JSONResponse:
    door = once.door
    return once.write(
        lambda session: ProtectionRead.model_validate(
            take_off(session, door.now, protection_id, wanted.at or door.now)
        ),
        status=200,
        then=lambda told: door.recompute(int(str(told["pour_id"]))),
    )


@router.delete("/protections/{protection_id}", status_code=204)
def delete_protection(protection_id: ProtectionId, door: DoorDep) -> None:
    with door.store.unit_of_work() as session:
        pour_id = find(session, ProtectionPeriod, protection_id, "protection_id").pour_id
        remove_protection(session, door.now, protection_id)
    door.recompute(pour_id)
