"""What is due across all pours, most pressing first."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf

from sqlmodel import Session

from models.records import Place, Pour, Projection
from service.actions.windows.standing import opens, standing
from service.answers import StepWindowResponse, read_answer
from service.queries.poured import piece_name
from service.queries.projections import of_active

PRESSING = ("closing", "open", "frozen", "past", "blocked", "not yet")
TODAY = timedelta(hours=24)


@dataclass(frozen=True)
class DueItem:
    """One step of one pour, as the projection tells it."""

    pour_id: int
    piece: str
    label: str  # with its number, where two could be alike
    place: str
    timezone: str
    placed_at: datetime
    step: StepWindowResponse
    told_at: datetime


def due_list(session: Session, now: datetime, within: timedelta = TODAY) -> list[DueItem]:
    """Steps that are open, closing, frozen, past or blocked next, or that open within a day.

    Of the frozen and the blocked steps of a pour only the first is told, of the past the last.
    """
    items = [item for row in of_active(session) for item in _of_pour(row, now, within)]
    return sorted(items, key=_urgency)


def _of_pour(
    row: tuple[Pour, str, Place, Projection | None], now: datetime, within: timedelta
) -> list[DueItem]:
    pour, label, place, projection = row
    chosen: list[StepWindowResponse] = []
    if projection is None:
        return []
    for stored in read_answer(projection.answer).steps:
        step = standing(stored, now, projection.checked_at)
        state, at = step.state, opens(step)
        if state in ("open", "closing"):
            chosen.append(step)
        elif state == "past":
            chosen = [other for other in chosen if other.state != "past"] + [step]
        elif state in ("blocked", "frozen"):
            if not any(other.state == state for other in chosen):
                chosen.append(step)
        elif state == "not yet" and at is not None and at <= now + within:
            chosen.append(step)
    return [
        DueItem(
            pour.id,
            piece_name(pour),
            label,
            place.name,
            place.timezone,
            pour.placed_at,
            step,
            projection.checked_at,
        )
        for step in chosen
    ]


def _urgency(item: DueItem) -> tuple[int, float, int]:
    step = item.step
    ends = step.latest if step.state in ("open", "closing") else opens(step)
    instant = inf if ends is None else ends.timestamp()
    return (PRESSING.index(step.state), instant, item.pour_id)
