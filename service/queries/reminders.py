"""Notices that are owed, and their deliveries."""

from collections.abc import Collection, Sequence
from datetime import datetime

from sqlalchemy import ColumnElement, and_
from sqlmodel import Session, col, func, select

from models.records import Delivery, Place, Pour, Reminder
from service.queries.jobs import is_free
from service.queries.part import WHOLE, Part

ALARMS = ("frost", "rain", "wind")
OWED = ("waiting", "sent")


def of_pour(session: Session, pour_id: int) -> Sequence[Reminder]:
    """Every notice of a pour in the order in which it came to be owed."""
    return session.exec(
        select(Reminder).where(Reminder.pour_id == pour_id).order_by(col(Reminder.id))
    ).all()


def soonest(session: Session, part: Part, state: str | None = None) -> Sequence[Reminder]:
    """Notices by the time they are due."""
    wanted = select(Reminder)
    if state is not None:
        wanted = wanted.where(Reminder.state == state)
    return part.rows(session, wanted, col(Reminder.due_at), col(Reminder.id))


def in_calendar(session: Session, since: datetime) -> Sequence[tuple[Reminder, str]]:
    """Notices of windows and of weather that changed since, by their time, each with its place."""
    kinds = ("opens", "closes", "frost", "rain", "wind")
    return session.exec(
        select(Reminder, Place.name)
        .join(Pour, col(Reminder.pour_id) == col(Pour.id))
        .join(Place, col(Pour.place_id) == col(Place.id))
        .where(col(Reminder.kind).in_(kinds), Reminder.changed_at > since)
        .order_by(col(Reminder.window_at), col(Reminder.id))
    ).all()


def is_due(now: datetime) -> ColumnElement[bool]:
    """Owed by now and held by nobody."""
    return and_(
        col(Reminder.state).in_(OWED),
        col(Reminder.done_at).is_(None),
        col(Reminder.due_at) <= now,
        is_free(Reminder, now),
    )


def is_held(session: Session, reminder_id: int, until: datetime) -> bool:
    """Whether its lease is the one that ends then."""
    wanted = select(Reminder.id).where(Reminder.id == reminder_id, Reminder.claimed_until == until)
    return session.exec(wanted).first() is not None


def due_together(session: Session, now: datetime, limit: int) -> list[list[int]]:
    """Keys of notices that are owed now and that nobody is sending, as they are told: alarms of one
    kind in one, all others in one."""
    found = session.exec(
        select(Reminder.id, Reminder.kind, Reminder.step)
        .where(is_due(now))
        .order_by(col(Reminder.due_at), col(Reminder.id))
        .limit(limit)
    ).all()
    groups: dict[str, list[int]] = {}
    for reminder_id, kind, step in found:
        groups.setdefault(step if kind in ALARMS else "", []).append(reminder_id)
    return list(groups.values())


def oldest_waiting(session: Session, now: datetime) -> datetime | None:
    """When the notice was due that has waited longest, of those that are still true."""
    return session.exec(
        select(func.min(Reminder.due_at)).where(
            Reminder.state == "waiting", Reminder.not_after > now, is_free(Reminder, now)
        )
    ).one()


def deliveries_of(
    session: Session, reminder_id: int, since: datetime | None = None, part: Part = WHOLE
) -> Sequence[Delivery]:
    """Attempts to deliver a notice, the oldest first."""
    wanted = select(Delivery).where(Delivery.reminder_id == reminder_id)
    wanted = wanted if since is None else wanted.where(Delivery.at >= since)
    return part.rows(session, wanted, col(Delivery.id))


def undelivered(session: Session, now: datetime) -> Sequence[Reminder]:
    """Notices that are still true, were tried and have reached nobody; none that is being sent."""
    tried = select(Delivery.reminder_id).where(
        col(Delivery.outcome).in_(("failed", "refused")), col(Delivery.reminder_id).is_not(None)
    )
    return session.exec(
        select(Reminder)
        .where(
            col(Reminder.state).in_(("waiting", "failed")),
            Reminder.not_after > now,
            col(Reminder.superseded_at).is_(None),
            col(Reminder.id).in_(tried),
            is_free(Reminder, now),
        )
        .order_by(col(Reminder.id))
    ).all()


def heard_at(session: Session, reminder_id: int, channel: str) -> datetime | None:
    """When a notice was first heard over a channel."""
    return session.exec(
        select(func.min(Delivery.at)).where(
            Delivery.reminder_id == reminder_id,
            Delivery.outcome == "sent",
            Delivery.channel == channel,
        )
    ).one()


def has_heard(
    session: Session, pour_id: int, step: str, person_id: int | None, channels: Collection[str]
) -> bool:
    """Whether a person, or the shop, was told of a step, or of the weather there.

    channels : theirs now, by which deliveries of before are known, and those that people share
    """
    by_name = col(Delivery.channel).in_(channels)
    wanted = (
        select(Delivery.id)
        .join(Reminder, col(Reminder.id) == col(Delivery.reminder_id))
        .where(
            Reminder.pour_id == pour_id,
            Reminder.step == step,
            Reminder.kind != "correction",
            Delivery.outcome == "sent",
            by_name | (col(Delivery.person_id) == person_id),
        )
    )
    return session.exec(wanted.limit(1)).first() is not None
