"""Send claimed notices, address by address: a row, the send outside any transaction, the mark.

Each address is settled by itself. As soon as one has heard, the notice is `sent`: it can be
withdrawn and followed by a sooner one, whatever the others do. Those that failed are tried again
until all are settled, or the notice is no longer true."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import DeliveryFailed
from models.records import Delivery, Reminder
from service import backoff, preference
from service.actions.notices import worded
from service.actions.notices.channels import forget_phone
from service.actions.notices.quiet_hours import is_wanted
from service.actions.notices.reminder_states import close_reminder, follow
from service.actions.notices.reminders import LASTING
from service.actions.shop import jobs
from service.actions.windows.standing import is_fresh
from service.notify.channel import Channel
from service.queries.jobs import job_of
from service.queries.reminders import OWED, deliveries_of, heard_at, of_pour
from service.queries.rows import find, find_shop
from service.store import Store

FIRST_PAUSE = timedelta(minutes=1)
LONGEST_PAUSE = timedelta(hours=1)
ONE_THING = timedelta(minutes=10)
SETTLED = ("sent", "refused")


def deliver_due(store: Store, now: datetime, claimed: Sequence[int], channel: Channel) -> None:
    """Send the claimed reminders over one channel as one notice, but for those that are settled
    there or may not be sent.

    A crash after a send and before its mark repeats that one send when the claim ends;
    nothing is lost.
    """
    with store.unit_of_work() as session:
        found = [find(session, Reminder, one, "reminder_id") for one in claimed]
        going = [one for one in found if _goes_out(session, one, now, channel)]
        opening = {(one.pour_id, one.step) for one in going if one.kind == "opens"}
        going = [
            one for one in going if one.kind != "closes" or (one.pour_id, one.step) not in opening
        ]
        rows = [_attempt(one, channel, now) for one in going]
        session.add_all(rows)
        session.flush()
        deliveries = [(row.id, one.id) for row, one in zip(rows, going, strict=True)]
        reader = preference.of_shop(find_shop(session), now)
    if not going:
        return
    notice = worded.together([worded.linked(one, reader, now) for one in going], reader)
    outcome, reason, gone = "sent", "", False
    try:
        channel.send(notice)
    except DeliveryFailed as error:
        outcome, reason = ("refused" if error.permanent else "failed"), error.reason[:500]
        gone = error.gone
    with store.unit_of_work() as session:
        if gone:
            forget_phone(session, channel.name)
        for delivery_id, reminder_id in deliveries:
            delivery = find(session, Delivery, delivery_id, "delivery_id")
            delivery.outcome, delivery.reason, delivery.finished_at = outcome, reason, now
            session.add(delivery)
            reminder = find(session, Reminder, reminder_id, "reminder_id")
            if outcome == "sent":  # unless it was cancelled meanwhile
                follow(reminder, "heard", now)
                session.add(reminder)


def _attempt(reminder: Reminder, channel: Channel, now: datetime) -> Delivery:
    return Delivery(
        created_at=now,
        reminder_id=reminder.id,
        channel=channel.name,
        attempt=reminder.attempt,
        at=now,
    )


def _goes_out(session: Session, reminder: Reminder, now: datetime, channel: Channel) -> bool:
    """Whether it is owed to this channel, true, and wanted; what was just told is told."""
    if not _owed(reminder) or now > reminder.not_after:
        return False
    if not _well_founded(session, reminder, now) or not is_wanted(reminder, find_shop(session)):
        return False
    if _was_just_told(session, reminder, now):
        follow(reminder, "heard", now)
        close_reminder(reminder, now)
        session.add(reminder)
        return False
    return channel.name not in _settled(session, reminder)


def settle(store: Store, now: datetime, reminder_id: int, channels: Sequence[Channel]) -> str:
    """Let go of a claimed reminder, for good or until the next try; return its state after."""
    with store.unit_of_work() as session:
        reminder = find(session, Reminder, reminder_id, "reminder_id")
        if not _owed(reminder):
            return reminder.state
        settled = _settled(session, reminder)
        outcomes = [settled.get(channel.name) for channel in channels]
        if now > reminder.not_after:
            return _close(session, reminder, now, "expired")
        if not _well_founded(session, reminder, now):
            return _later(session, reminder, now, FIRST_PAUSE)
        if not channels or not is_wanted(reminder, find_shop(session)):
            return _close(session, reminder, now, "nobody")
        if None in outcomes:
            pause = backoff.pause(FIRST_PAUSE, reminder.attempt, LONGEST_PAUSE)
            return _later(session, reminder, now, pause)
        return _close(session, reminder, now, "refused")


def _owed(reminder: Reminder) -> bool:
    return reminder.state in OWED and reminder.done_at is None


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
    job = job_of(session, jobs.projection_key(reminder.pour_id))
    if job is None or job.failure or job.succeeded_at is None:
        return False
    return is_fresh(job.succeeded_at, now)


def _was_just_told(session: Session, reminder: Reminder, now: datetime) -> bool:
    """Whether that it opens, and until when, was said so lately that to say it closes is the same
    again: a short window, one that quiet hours moved, or a pour that was logged late."""
    if reminder.kind != "closes" or reminder.state != "waiting":
        return False
    return any(
        row.kind == "opens"
        and row.step == reminder.step
        and row.superseded_at is None
        and row.facts.get("latest") is not None
        and (heard := heard_at(session, row.id)) is not None
        and now - heard < ONE_THING
        for row in of_pour(session, reminder.pour_id)
    )


def _close(session: Session, reminder: Reminder, now: datetime, event: str) -> str:
    """Nothing more is sent; `event` is how it ended for whom it did not reach."""
    follow(reminder, event, now)
    session.add(reminder)
    return reminder.state


def _settled(session: Session, reminder: Reminder) -> dict[str, str]:
    """Addresses that have it as it now reads, or refused it for good."""
    rows = deliveries_of(session, reminder.id, since=reminder.changed_at)
    return {row.channel: row.outcome for row in rows if row.outcome in SETTLED}
