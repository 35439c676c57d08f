"""The broker at which instruments are heard: whether it was there, and since when it is not.

All shops of a server share it, and each further one has a first level of its own, so that none
hears the instruments of another.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session

from models.records import Job
from service.actions.shop import jobs
from service.queries.jobs import job_of
from service.settings import Settings
from service.store.shops import FIRST, shop_of

KEY = "broker"  # a row like the clock's own: when it was last there
AWAY_AFTER = timedelta(minutes=10)  # a restart, a router that comes back


@dataclass(frozen=True)
class Away:
    """A broker that nothing is heard from. `since` : when it was last there, None: never."""

    since: datetime | None
    reason: str


def own_level(shop_id: int) -> str:
    """What stands before the topics of a shop; nothing before those of the first."""
    return "" if shop_id == FIRST else f"shop-{shop_id}/"


def was_there(session: Session, now: datetime) -> None:
    jobs.succeeded(_row(session, now), now, now)


def was_away(session: Session, now: datetime, why: str) -> None:
    row = _row(session, now)
    row.attempt += 1
    jobs.failed(row, now, why)


def away(session: Session, settings: Settings, now: datetime) -> Away | None:
    """None where none is set, it was there a short while ago, or a further shop hears nothing."""
    if settings.broker is None:
        return None
    row = job_of(session, KEY)
    if row is None and shop_of(session) != FIRST:
        return None
    last = None if row is None else row.succeeded_at
    if last is not None and now - last <= AWAY_AFTER:
        return None
    return Away(last, "" if row is None else row.failure)


def _row(session: Session, now: datetime) -> Job:
    row = job_of(session, KEY) or Job(kind="beat", key=KEY, due_at=now, created_at=now)
    session.add(row)
    return row
