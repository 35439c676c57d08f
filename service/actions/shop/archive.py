"""What the shop no longer uses is put away, and brought back."""

from collections.abc import Mapping
from datetime import datetime

from sqlmodel import Session, col, delete

from models.errors import Conflict
from models.records import Job, Order, Owned, Place
from service.actions.shop import jobs
from service.actions.shop.orders import fits_the_plan
from service.queries.poured import TABLES, piece_label
from service.queries.pours import made_of
from service.queries.rows import find

PUT_AWAY: Mapping[str, type[Owned]] = {**TABLES, "order": Order}


def put_away(session: Session, now: datetime, noun: str, row_id: int) -> Owned:
    """It is offered no more; pours that name it keep it, and its name stays taken.

    Raises Conflict for a place where a pour is under way: its weather is still needed.
    """
    row = find(session, PUT_AWAY[noun], row_id, f"{noun}_id")
    if isinstance(row, Place):
        there = [piece_label(pour) for pour in made_of(session, noun, row_id)]
        if there:
            raise Conflict(f"{row.name} stays in use", f"{', '.join(there)} stands there")
        session.execute(delete(Job).where(col(Job.key) == jobs.weather_key(row_id)))
    row.archived_at = row.archived_at or now
    session.add(row)
    _planned_anew(session, now, row)
    return row


def bring_back(session: Session, now: datetime, noun: str, row_id: int) -> Owned:
    """It is offered again; a place has its forecast again."""
    row = find(session, PUT_AWAY[noun], row_id, f"{noun}_id")
    if isinstance(row, Place) and row.archived_at is not None and row.latitude is not None:
        jobs.forecast_due(session, now, row_id)
    row.archived_at = None
    if isinstance(row, Order):
        fits_the_plan(session, row)
    session.add(row)
    _planned_anew(session, now, row)
    return row


def _planned_anew(session: Session, now: datetime, row: Owned) -> None:
    """The plan of the orders is not what it was; without the last order it is empty."""
    if isinstance(row, Order):
        jobs.plan_due(session, now)
    else:
        jobs.plan_moved(session, now)
