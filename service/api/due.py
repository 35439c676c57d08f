"""What is due, and which notices are owed or went out."""

from datetime import datetime, timedelta
from typing import Annotated, Any

from fastapi import APIRouter, Path, Query
from sqlmodel import col, select

from models.records import Delivery, Pour, Reminder
from service.actions.due_list import due_list
from service.api.fields import LARGEST_KEY, Told
from service.api.once import DoorDep
from service.queries.rows import find

router = APIRouter(tags=["due"])
PourId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]
ReminderId = Annotated[int, Path(ge=1, le=LARGEST_KEY)]


class DueTold(Told):
    pour_id: int
    piece: str
    place: str
    placed_at: datetime
    told_at: datetime
    step: dict[str, Any]


class ReminderTold(Told):
    id: int
    created_at: datetime
    pour_id: int
    step: str
    kind: str
    round: int
    key: str
    window_at: datetime
    due_at: datetime
    not_after: datetime
    state: str
    attempt: int
    done_at: datetime | None
    superseded_at: datetime | None
    facts: dict[str, Any]


class DeliveryTold(Told):
    id: int
    channel: str
    attempt: int
    at: datetime
    finished_at: datetime | None
    outcome: str
    reason: str


@router.get("/due")
def read_due(
    door: DoorDep, within_h: Annotated[float, Query(ge=0, le=1000, allow_inf_nan=False)] = 24.0
) -> list[DueTold]:
    """Steps that are open, closing, past or blocked, or open within so many hours."""
    with door.store.reading() as session:
        items = due_list(session, door.now, timedelta(hours=within_h))
    return [DueTold.model_validate(item) for item in items]


@router.get("/reminders")
def list_reminders(
    door: DoorDep,
    state: Annotated[str | None, Query(max_length=20)] = None,
    limit: Annotated[int, Query(ge=1, le=500)] = 100,
) -> list[ReminderTold]:
    """Soonest first."""
    wanted = select(Reminder).order_by(col(Reminder.due_at), col(Reminder.id)).limit(limit)
    if state is not None:
        wanted = wanted.where(Reminder.state == state)
    with door.store.reading() as session:
        return [ReminderTold.model_validate(row) for row in session.exec(wanted).all()]


@router.get("/pours/{pour_id}/reminders")
def list_reminders_of_pour(pour_id: PourId, door: DoorDep) -> list[ReminderTold]:
    with door.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = session.exec(
            select(Reminder).where(Reminder.pour_id == pour_id).order_by(col(Reminder.due_at))
        ).all()
        return [ReminderTold.model_validate(row) for row in rows]


@router.get("/reminders/{reminder_id}/deliveries")
def list_deliveries(reminder_id: ReminderId, door: DoorDep) -> list[DeliveryTold]:
    with door.store.reading() as session:
        find(session, Reminder, reminder_id, "reminder_id")
        rows = session.exec(
            select(Delivery).where(Delivery.reminder_id == reminder_id).order_by(col(Delivery.id))
        ).all()
        return [DeliveryTold.model_validate(row) for row in rows]
