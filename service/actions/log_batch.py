"""A batch was mixed and placed; or it was logged by mistake."""

from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import InputError
from models.projection.scenario import Placement
from models.records import Batch, Pour
from models.units import number_within
from service.actions import _instants
from service.queries.rows import find

EARLIEST_BEFORE = timedelta(hours=24)  # the pour's own time is that of its youngest batch


def log_batch(
    session: Session,
    now: datetime,
    pour_id: int,
    *,
    at: datetime,
    bags: float | None = None,
    water_l: float | None = None,
    concrete_C: float | None = None,
    note: str = "",
) -> Batch:
    """The batch, checked and stored; one that says nothing is refused."""
    pour = find(session, Pour, pour_id, "pour_id")
    _instants.not_ahead("at", at, now)
    first = pour.placed_at - EARLIEST_BEFORE
    if at < first:
        raise InputError(
            "at", at.isoformat(), "long before the pour", f"{first.isoformat()} or later"
        )
    if bags is None and water_l is None and concrete_C is None:
        allowed = "at least one of bags, water_l and concrete_C"
        raise InputError("bags", None, "a batch of which nothing is told", allowed)
    Placement(at=at, concrete_C=concrete_C, bags=bags)  # refuses what no pour may be either
    if water_l is not None:
        number_within("water_l", water_l, 0.0, 1000.0, "l")
    batch = Batch(
        created_at=now,
        pour_id=pour_id,
        at=at,
        bags=bags,
        water_l=water_l,
        concrete_C=concrete_C,
        note=note,
    )
    session.add(batch)
    session.flush()
    return batch


def remove_batch(session: Session, batch_id: int) -> None:
    """It was logged by mistake."""
    session.delete(find(session, Batch, batch_id, "batch_id"))
