"""What is due, and which notices are owed or went out."""

from datetime import datetime, timedelta
from typing import Annotated, Any

from fastapi import APIRouter, Query

from models.records import Pour, Reminder
from models.records.reminder import STATES
from models.units import one_of
from service.actions.notices.later import remind_later
from service.actions.windows.due_list import due_list
from service.answers import StepWindowResponse
from service.api.listing import PageDep, PageOf100
from service.nouns.base import ResponseBody
from service.queries.reminders import deliveries_of, soonest
from service.queries.rows import find, of_pour
from service.request_context import ContextDep, Key
from service.vocabulary import DeliveryOutcome, ReminderKind, ReminderState

router = APIRouter(tags=["due"])


class DueRead(ResponseBody):
    pour_id: int
    piece: str
    label: str
    place: str
    placed_at: datetime
    told_at: datetime
    step: StepWindowResponse


class ReminderRead(ResponseBody):
    id: int
    created_at: datetime
    pour_id: int
    step: str
    kind: ReminderKind
    round: int
    key: str
    window_at: datetime
    due_at: datetime
    not_after: datetime
    state: ReminderState
    attempt: int
    done_at: datetime | None
    superseded_at: datetime | None
    facts: dict[str, Any]


class DeliveryRead(ResponseBody):
    id: int
    channel: str
    attempt: int
    at: datetime
    finished_at: datetime | None
    outcome: DeliveryOutcome
    reason: str


@router.get("/due")
def read_due(
    context: ContextDep,
    page: PageDep,
    within_h: Annotated[float, Query(ge=0, le=1000, allow_inf_nan=False)] = 24.0,
) -> list[DueRead]:
    """Steps that are open, closing, past or blocked, or open within so many hours."""
    with context.store.reading() as session:
        items = due_list(session, context.now, timedelta(hours=within_h))
    told = page.part.items(items, lambda item: [item.pour_id, item.step.step])
    return page.told([DueRead.model_validate(item) for item in told])


@router.get("/reminders")
def list_reminders(
    context: ContextDep,
    page: PageOf100,
    state: ReminderState | None = None,
) -> list[ReminderRead]:
    """Soonest first."""
    with context.store.reading() as session:
        told = None if state is None else one_of("state", state, STATES)
        rows = soonest(session, page.part, told)
        return page.told([ReminderRead.model_validate(row) for row in rows])


@router.get("/pours/{pour_id}/reminders")
def list_reminders_of_pour(pour_id: Key, context: ContextDep, page: PageDep) -> list[ReminderRead]:
    with context.store.reading() as session:
        find(session, Pour, pour_id, "pour_id")
        rows = of_pour(session, Reminder, pour_id, "due_at", page.part)
        return page.told([ReminderRead.model_validate(row) for row in rows])


@router.get("/reminders/{reminder_id}/deliveries")
def list_deliveries(reminder_id: Key, context: ContextDep, page: PageDep) -> list[DeliveryRead]:
    with context.store.reading() as session:
        find(session, Reminder, reminder_id, "reminder_id")
        rows = deliveries_of(session, reminder_id, part=page.part)
        return page.told([DeliveryRead.model_validate(row) for row in rows])


@router.post("/reminders/{reminder_id}/later")
def remind_in_an_hour(reminder_id: Key, context: ContextDep) -> ReminderRead:
    """Tell a notice that went out once more, an hour from now; 409 where it no longer holds."""
    with context.store.unit_of_work() as session:
        row = remind_later(session, context.now, reminder_id, context.asker.person_id)
        return ReminderRead.model_validate(row)
