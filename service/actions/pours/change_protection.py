"""Put a cover on, take it off."""

from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import Conflict, InputError
from models.records import Pour, ProtectionPeriod
from models.records.protection import LaidBase
from service.actions.shop import jobs
from service.actions.windows import scenario_rows
from service.nouns.cover import ProtectionCreate
from service.queries.rows import find

PLANNED_AHEAD = timedelta(days=60)


def put_on(
    session: Session,
    now: datetime,
    pour_id: int,
    cover: ProtectionCreate,
    else_from: datetime | None = None,
) -> ProtectionPeriod:
    """A cover from `from_at` on (`else_from`, or now), until `to_at` or until it is taken off."""
    pour = find(session, Pour, pour_id, "pour_id")
    begin, to_at = cover.from_at or else_from or now, cover.to_at
    _near("from_at", begin, pour, now)
    if to_at is not None:
        _near("to_at", to_at, pour, now)
        if to_at <= begin:
            raise InputError(
                "to_at", to_at.isoformat(), "not after from_at", f"later than {begin.isoformat()}"
            )
    values = cover.model_dump(include=set(LaidBase.model_fields))
    period = ProtectionPeriod(created_at=now, pour_id=pour_id, from_at=begin, to_at=to_at, **values)
    scenario_rows.covering_of(period, pour.placed_at)
    session.add(period)
    session.flush()
    jobs.windows_due(session, now, pour)
    return period


def take_off(session: Session, now: datetime, protection_id: int, at: datetime) -> ProtectionPeriod:
    """The cover came off at `at`; taking it off before it went on is refused."""
    period = find(session, ProtectionPeriod, protection_id, "protection_id")
    pour = find(session, Pour, period.pour_id, "pour_id")
    if period.to_at is not None and period.to_at <= now:
        raise Conflict(f"protection {protection_id}", f"off since {period.to_at.isoformat()}")
    _near("at", at, pour, now)
    if at <= period.from_at:
        raise InputError(
            "at",
            at.isoformat(),
            "not after the cover went on",
            f"later than {period.from_at.isoformat()}",
        )
    period.to_at = at
    session.add(period)
    session.flush()
    jobs.windows_due(session, now, pour)
    return period


def remove_protection(session: Session, now: datetime, protection_id: int) -> None:
    """It was logged by mistake."""
    period = find(session, ProtectionPeriod, protection_id, "protection_id")
    pour = find(session, Pour, period.pour_id, "pour_id")
    session.delete(period)
    jobs.windows_due(session, now, pour)


def _near(field: str, at: datetime, pour: Pour, now: datetime) -> None:
    last = max(now, pour.placed_at) + PLANNED_AHEAD
    if at > last:
        raise InputError(field, at.isoformat(), "too far ahead", f"up to {last.isoformat()}")
