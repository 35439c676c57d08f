"""A batch was mixed and placed; or it was logged by mistake."""

from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import InputError
from models.instants import not_ahead
from models.records import Batch, Mix, Pour
from models.records.batch import BatchBase
from models.simulation.batched import with_batches
from service.actions.pours.log_pour import correct_pour
from service.actions.shop import jobs
from service.actions.windows import scenario_rows
from service.nouns.batch import BatchCreate
from service.queries.poured import copy_of, poured
from service.queries.rows import find, mixing_of, of_pour, poured_together

EARLIEST_BEFORE = timedelta(hours=24)  # the pour's own time is that of its youngest batch


def log_batch(session: Session, now: datetime, pour_id: int, wanted: BatchCreate) -> Batch:
    """The batch, checked and stored; one that says nothing is refused.

    The pour's own time moves on to it, since that is the youngest batch's. Where something was read
    or done before it, the time of the pour stays.
    """
    pour, at = find(session, Pour, pour_id, "pour_id"), wanted.at or now
    not_ahead("at", at, now)
    first = pour.placed_at - EARLIEST_BEFORE
    if at < first:
        raise InputError(
            "at", at.isoformat(), "long before the pour", f"{first.isoformat()} or later"
        )
    values = wanted.model_dump(include=set(BatchBase.model_fields))
    if all(value in (None, "") for name, value in values.items() if name not in ("note", "mix_id")):
        allowed = "at least one of bags, water_l, concrete_C, thickness_mm and layer"
        raise InputError("bags", None, "a batch of which nothing is told", allowed)
    row = poured(session, pour).mix
    if wanted.mix_id is not None:
        row = find(session, Mix, wanted.mix_id, "mix_id")
    mixture = scenario_rows.mixture_of(row)
    if wanted.water_l and wanted.bags and mixture.bag_told:
        mixture.mixed_with(wanted.water_l, wanted.bags)  # refuses what is no concrete
    mixed = None if wanted.mix_id in (None, pour.mix_id) else copy_of(row)
    batch = Batch(created_at=now, pour_id=mixing_of(session, pour_id), at=at, mixed=mixed, **values)
    others = [scenario_rows.batch_of(one) for one in of_pour(session, Batch, pour_id)]
    with session.no_autoflush:  # refuses what no batch has, and more than the mould holds
        with_batches(scenario_rows.planned(session, pour), [*others, scenario_rows.batch_of(batch)])
    session.add(batch)
    session.flush()
    for one in poured_together(session, pour_id):
        if at > one.placed_at or one.placed_at > now:  # or it was only meant for later
            place_at(session, now, one, at)
        jobs.windows_due(session, now, one)
    return batch


def place_at(session: Session, now: datetime, pour: Pour, at: datetime) -> None:
    """The hours of a pour count from then, unless something was read or done before."""
    before = pour.placed_at
    try:
        correct_pour(session, now, pour.id, {"placed_at": at})
    except InputError:  # the batch is kept, the pages and the answer say so
        pour.placed_at = before
        session.add(pour)
        session.flush()


def remove_batch(session: Session, now: datetime, batch_id: int) -> None:
    """It was logged by mistake."""
    batch = find(session, Batch, batch_id, "batch_id")
    session.delete(batch)
    for one in poured_together(session, batch.pour_id):
        jobs.windows_due(session, now, one)
