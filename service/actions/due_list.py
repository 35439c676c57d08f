"""What is due across all pours, most pressing first."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf
from typing import Any

from sqlalchemy import func
from sqlmodel import Session, col, select

from models.records import Piece, Place, Pour, Projection
from service.actions.standing import standing

PRESSING = ("closing", "open", "frozen", "past", "blocked", "not yet")
TODAY = timedelta(hours=24)


@dataclass(frozen=True)
class DueItem:
    """One step of one pour; `step` is the step as the projection tells it (contract JSON)."""

    pour_id: int
    piece: str
    place: str
    placed_at: datetime
    step: dict[str, Any]
    told_at: datetime


def due_list(session: Session, now: datetime, within: timedelta = TODAY) -> list[DueItem]:
    """Steps that are open, closing, frozen, past or blocked next, or that open within a day.

    Of the frozen and the blocked steps of a pour only the first is told, of the past the last.
    """
    items = [item for pour in _active(session) for item in _of_pour(pour, now, within)]
    return sorted(items, key=_urgency)


def _of_pour(
    row: tuple[Pour, Projection, str, str], now: datetime, within: timedelta
) -> list[DueItem]:
    pour, projection, piece, place = row
    chosen: list[dict[str, Any]] = []
    for told in projection.answer["steps"]:
        step = standing(told, now, projection.checked_at)
        state, opens = step["state"], _opens(step)
        if state in ("open", "closing"):
            chosen.append(step)
        elif state == "past":
            chosen = [other for other in chosen if other["state"] != "past"] + [step]
        elif state in ("blocked", "frozen"):
            if not any(other["state"] == state for other in chosen):
                chosen.append(step)
        elif (
            state == "not yet"
            and opens is not None
            and datetime.fromisoformat(opens) <= now + within
        ):
            chosen.append(step)
    return [
        DueItem(pour.id, piece, place, pour.placed_at, step, projection.checked_at)
        for step in chosen
    ]


def _active(session: Session) -> list[tuple[Pour, Projection, str, str]]:
    newest = select(func.max(Projection.id)).group_by(col(Projection.pour_id)).scalar_subquery()
    rows = session.exec(
        select(Pour, Projection, Piece.name, Place.name)
        .join(Projection, col(Projection.pour_id) == Pour.id)
        .join(Piece, col(Piece.id) == Pour.piece_id)
        .join(Place, col(Place.id) == Pour.place_id)
        .where(col(Pour.closed_at).is_(None), col(Projection.id).in_(newest))
        .order_by(col(Pour.placed_at))
    )
    return [(pour, projection, piece, place) for pour, projection, piece, place in rows]


def _urgency(item: DueItem) -> tuple[int, float, int]:
    step = item.step
    ends = step["latest"] if step["state"] in ("open", "closing") else _opens(step)
    instant = inf if ends is None else datetime.fromisoformat(ends).timestamp()
    return (PRESSING.index(step["state"]), instant, item.pour_id)


def _opens(step: dict[str, Any]) -> str | None:
    """Its sure hour; even odds where the hand decides and none is sure."""
    early: dict[str, str | None] = step["earliest"]
    return early["p90"] or (early["p50"] if step.get("by_check") else None)
