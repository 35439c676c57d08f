"""What keeps a pour warm or wet: on, off, and logged by mistake."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import JSONResponse

from models.records import Pour, ProtectionPeriod
from service.actions.change_protection import put_on, remove_protection, take_off
from service.api.fields import (
    LARGEST_KEY,
    Asked,
    Instant,
    ProtectionAsked,
    Told,
)
from service.api.once import DoorDep, OnceDep
from service.queries.rows import find, of_pour

router = APIRouter(tags=["protections"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
ProtectionId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class OffAsked(Asked):
    at: Instant | None = None


class ProtectionTold(Told):
    id: int
    created_at: datetime
    pour_id: int
    kind: str
    from_at: datetime
    to_at: datetime | None
    R_m2K_W: float | None
    setpoint_C: float | None
    faces: str
    heater: str | None


@router.post("/pours/{pour_id}/protections", status_code=201, response_model=ProtectionTold)
def put_protection_on(pour_id: PourId, wanted: ProtectionAsked, once: OnceDep) -> JSONResponse:
    door = once.door
    return once.write(
        lambda session: ProtectionTold.model_validate(
            put_on(session, door.now, pour_id, at=door.now, **wanted.model_dump())
        ),
        then=lambda _: door.recompute(pour_id),
    )


@router.get("/pours/{pour_id}/protections")
def list_protections(pour_id: PourId, door: DoorDep) -> list[ProtectionTold]:
    with door.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, ProtectionPeriod, pour_id, "from_at")
        return [ProtectionTold.model_validate(row) for row in rows]


@router.post("/protections/{protection_id}/off", response_model=ProtectionTold)
def take_protection_off(
    protection_id: ProtectionId, wanted: OffAsked, once: OnceDep
) -> JSONResponse:
    door = once.door
    return once.write(
        lambda session: ProtectionTold.model_validate(
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
