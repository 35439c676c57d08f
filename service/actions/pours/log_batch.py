"""A batch was mixed and placed; or it was logged by mistake."""

from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import InputError
from models.instants import not_ahead
from models.records import Batch, Pour
from models.records.batch import BatchBase
from models.simulation.scenario import Placement
from models.units import number_within
from service.actions.shop import jobs
from service.actions.windows import scenario_rows
from service.nouns.batch import BatchCreate
from service.queries.poured import poured
from service.queries.rows import find

EARLIEST_BEFORE = timedelta(hours=24)  # the pour's own time is that of its youngest batch


def log_batch(session: Session, now: datetime, pour_id: int, wanted: BatchCreate) -> Batch:
    """The batch, checked and stored; one that says nothing is refused."""
    pour, at = find(session, Pour, pour_id, "pour_id"), wanted.at or now
    not_ahead("at", at, now)
    first = pour.placed_at - EARLIEST_BEFORE
    if at < first:
        raise InputError(
            "at", at.isoformat(), "long before the pour", f"{first.isoformat()} or later"
        )
    if wanted.bags is None and wanted.water_l is None and wanted.concrete_C is None:
        allowed = "at least one of bags, water_l and concrete_C"
        raise InputError("bags", None, "a batch of which nothing is told", allowed)
    # refuses what no pour may be either
    Placement(at=at, concrete_C=wanted.concrete_C, bags=wanted.bags)
    if wanted.water_l is not None:
        number_within("water_l", wanted.water_l, 0.0, 1000.0, "l")
    mixture = scenario_rows.mixture_of(poured(session, pour).mix)
    if wanted.water_l and wanted.bags and (mixture.bag_kg or mixture.bag_yield_l):
        mixture.mixed_with(wanted.water_l, wanted.bags)  # refuses what is no concrete
    values = wanted.model_dump(include=set(BatchBase.model_fields))
    batch = Batch(created_at=now, pour_id=pour_id, at=at, **values)
    session.add(batch)
    session.flush()
    jobs.windows_due(session, now, pour)
    return batch


def remove_batch(session: Session, now: datetime, batch_id: int) -> None:
    """It was logged by mistake."""
    batch = find(session, Batch, batch_id, "batch_id")
    session.delete(batch)
    jobs.windows_due(session, now, find(session, Pour, batch.pour_id, "pour_id"))
