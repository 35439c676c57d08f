"""A batch goes in while the pour is under way: it is written down, and the hours count from it."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import InputError
from models.records import Batch, Pour
from service.actions.pours.log_batch import log_batch, remove_batch
from service.actions.pours.log_pour import correct_pour
from service.nouns.batch import BatchCreate
from service.queries.rows import find, of_pour

CLOCKS_APART = timedelta(minutes=2)  # a phone that is so far ahead stamps the present


def stamp_batch(
    session: Session, now: datetime, pour_id: int, bags: float, at: datetime | None = None
) -> Batch:
    """The batch; the pour's own time moves on to it, since that is the youngest batch's.

    at : when it was tapped; nothing, or a little ahead: now
    Where something was read or done before it, the time of the pour stays: see `counts_from`.
    """
    if at is None or now < at <= now + CLOCKS_APART:
        at = now
    pour = find(session, Pour, pour_id, "pour_id")
    batch = log_batch(session, now, pour_id, BatchCreate(bags=bags, at=at))
    if at > pour.placed_at or pour.placed_at > now:  # or it was only meant for later
        _place(session, now, pour, at)
    return batch


def undo_batch(session: Session, now: datetime, pour_id: int, batch_id: int) -> None:
    """The batch was stamped by mistake: the hours count from the one before it, or from when the
    pour was logged."""
    batch = find(session, Batch, batch_id, "batch_id")
    pour = find(session, Pour, pour_id, "pour_id")
    if batch.pour_id != pour_id:
        raise InputError("batch_id", batch_id, "of another pour", "a batch of this pour")
    counted = batch.at == pour.placed_at
    remove_batch(session, now, batch_id)
    session.flush()
    if counted:
        left = [row.at for row in of_pour(session, Batch, pour_id)]
        _place(session, now, pour, max(left, default=min(pour.created_at, pour.placed_at)))


@dataclass(frozen=True)
class CountsFrom:
    """From when the hours of a pour count, and when its last batch went in."""

    placed_at: datetime
    last_at: datetime

    @property
    def behind(self) -> bool:
        return self.last_at - self.placed_at > timedelta(minutes=1)


def counts_from(session: Session, pour_id: int) -> CountsFrom:
    """Whether the hours count from the last batch."""
    pour = find(session, Pour, pour_id, "pour_id")
    last = max((row.at for row in of_pour(session, Batch, pour_id)), default=pour.placed_at)
    return CountsFrom(pour.placed_at, max(last, pour.placed_at))


def _place(session: Session, now: datetime, pour: Pour, at: datetime) -> None:
    before = pour.placed_at
    try:
        correct_pour(session, now, pour.id, {"placed_at": at})
    except InputError:  # a reading or a step lies before it: the batch is kept, the page says so
        pour.placed_at = before
        session.add(pour)
        session.flush()
