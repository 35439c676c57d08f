"""A batch goes in while the pour is under way: it is written down, and the hours count from it."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import InputError
from models.records import Batch, Pour
from service.actions.pours.log_batch import log_batch, place_at, remove_batch
from service.nouns.batch import BatchCreate
from service.queries.rows import find, mixing_of, of_pour, poured_together

CLOCKS_APART = timedelta(minutes=2)  # a phone that is so far ahead stamps the present


def stamp_batch(
    session: Session,
    now: datetime,
    pour_id: int,
    bags: float,
    at: datetime | None = None,
    layer: str | None = None,
) -> Batch:
    """The batch, from which the hours count; where they do not: see `counts_from`.

    at : when it was tapped; nothing, or a little ahead: now
    """
    if at is None or now < at <= now + CLOCKS_APART:
        at = now
    return log_batch(session, now, pour_id, BatchCreate(bags=bags, layer=layer, at=at))


def undo_batch(session: Session, now: datetime, pour_id: int, batch_id: int) -> None:
    """The batch was stamped by mistake: the hours count from the one before it, or from when the
    pour was logged."""
    batch = find(session, Batch, batch_id, "batch_id")
    if batch.pour_id != mixing_of(session, pour_id):
        raise InputError("batch_id", batch_id, "of another pour", "a batch of this pour")
    counted = [one for one in poured_together(session, pour_id) if one.placed_at == batch.at]
    remove_batch(session, now, batch_id)
    session.flush()
    left = [row.at for row in of_pour(session, Batch, pour_id)]
    for pour in counted:
        place_at(session, now, pour, max(left, default=min(pour.created_at, pour.placed_at)))


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
