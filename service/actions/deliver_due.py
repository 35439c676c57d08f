"""Send one claimed notice: a row, the send outside any transaction, then the mark."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlmodel import Session, select

from models.errors import DeliveryFailed
from models.records import Delivery, Reminder
from service.actions import _duty
from service.actions._reminders import LASTING
from service.actions._rows import find
from service.notify import words
from service.notify.channel import Channel, Notice
from service.store import Store

FIRST_PAUSE = timedelta(minutes=1)
LONGEST_PAUSE = timedelta(hours=1)
PROJECTED_WITHIN = timedelta(hours=2)  # an older projection opens nothing
SETTLED = ("sent", "refused")


def deliver_due(store: Store, now: datetime, reminder_id: int, channels: Sequence[Channel]) -> str:
    """Send the claimed reminder over every channel that has not had it; return its state after.

    A crash after a send and before its mark repeats that one send when the claim ends;
    nothing is lost.
    """
    with store.unit_of_work() as session:
        reminder = find(session, Reminder, reminder_id, "reminder_id")
        if reminder.state != "waiting":
            return reminder.state
        if now > reminder.not_after:
            return _close(session, reminder, now, "expired")
        if not _well_founded(session, reminder, now):
            return _later(session, reminder, now, FIRST_PAUSE)
        if not channels:
            return _close(session, reminder, now, "listed")
        settled = _settled(session, reminder_id)
    notice = words.notice(reminder.key, reminder.kind, reminder.facts, reminder.not_after, now)
    for channel in channels:
        if channel.name not in settled:
            outcome = _send(store, now, reminder, channel, notice)
            if outcome in SETTLED:
                settled[channel.name] = outcome
    with store.unit_of_work() as session:
        reminder = find(session, Reminder, reminder_id, "reminder_id")
        return _after(session, reminder, now, [settled.get(c.name) for c in channels])


def _send(store: Store, now: datetime, reminder: Reminder, channel: Channel, notice: Notice) -> str:
    with store.unit_of_work() as session:
        delivery = Delivery(
            created_at=now,
            reminder_id=reminder.id,
            channel=channel.name,
            attempt=reminder.attempt,
            at=now,
        )
        session.add(delivery)
        session.flush()
        delivery_id = delivery.id
    outcome, reason = "sent", ""
    try:
        channel.send(notice)
    except DeliveryFailed as error:
        outcome, reason = ("refused" if error.permanent else "failed"), error.reason[:500]
    with store.unit_of_work() as session:
        delivery = find(session, Delivery, delivery_id, "delivery_id")
        delivery.outcome, delivery.reason, delivery.finished_at = outcome, reason, now
        session.add(delivery)
    return outcome


def _after(
    session: Session, reminder: Reminder, now: datetime, outcomes: Sequence[str | None]
) -> str:
    if None in outcomes:
        doubled = FIRST_PAUSE * 2 ** min(max(reminder.attempt - 1, 0), 10)
        return _later(session, reminder, now, min(doubled, LONGEST_PAUSE))
    return _close(session, reminder, now, "sent" if "sent" in outcomes else "failed")


def _later(session: Session, reminder: Reminder, now: datetime, pause: timedelta) -> str:
    """Nobody holds it meanwhile, so that a projection may move it."""
    reminder.due_at = min(now + pause, reminder.not_after)
    reminder.claimed_until = None
    session.add(reminder)
    return reminder.state


def _well_founded(session: Session, reminder: Reminder, now: datetime) -> bool:
    """A projection that failed, or that the clock has not renewed, is no ground to open a step."""
    if reminder.kind not in ("opens", "closes") or reminder.step in LASTING:
        return True
    duty = _duty.of(session, _duty.projection_key(reminder.pour_id))
    if duty is None or duty.failure or duty.succeeded_at is None:
        return False
    return now - duty.succeeded_at <= PROJECTED_WITHIN


def _close(session: Session, reminder: Reminder, now: datetime, state: str) -> str:
    if reminder.state == "waiting":  # a step marked done meanwhile stays cancelled
        reminder.state = state
    reminder.done_at, reminder.claimed_until = now, None
    session.add(reminder)
    return reminder.state


def _settled(session: Session, reminder_id: int) -> dict[str, str]:
    rows = session.exec(select(Delivery).where(Delivery.reminder_id == reminder_id)).all()
    return {row.channel: row.outcome for row in rows if row.outcome in SETTLED}
