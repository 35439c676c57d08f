"""Is the process up, and is it of use: database, schema, clock, overdue notices."""

from datetime import timedelta

from fastapi import APIRouter, Response
from sqlmodel import col, func, select

from models.records import Reminder
from service import store
from service.actions import _duty
from service.api.fields import Told
from service.api.once import DoorDep

router = APIRouter(tags=["health"])
BEAT_WITHIN = timedelta(minutes=2)
OVERDUE_BY = timedelta(minutes=5)


class Health(Told):
    ready: bool
    schema_is_current: bool
    clock_beats: bool
    notices_go_out: bool


@router.get("/healthz")
def healthz() -> dict[str, str]:
    return {"process": "up"}


@router.get("/readyz")
def readyz(door: DoorDep, response: Response) -> Health:
    """503 when the schema is old, the clock has not beaten for 2 min, or a notice is 5 min late."""
    with door.store.reading() as session:
        beat = _duty.of(session, _duty.BEAT)
        oldest = session.exec(
            select(func.min(Reminder.due_at)).where(
                Reminder.state == "waiting",
                Reminder.not_after > door.now,
                col(Reminder.claimed_until).is_(None),
            )
        ).one()
    current = door.store.revision() == store.head()
    beats = beat is not None and (
        beat.succeeded_at is not None and door.now - beat.succeeded_at <= BEAT_WITHIN
    )
    in_time = oldest is None or door.now - oldest <= OVERDUE_BY
    health = Health(
        ready=current and beats and in_time,
        schema_is_current=current,
        clock_beats=beats,
        notices_go_out=in_time,
    )
    if not health.ready:
        response.status_code = 503
    return health
