"""Send claimed notices, address by address: a row, the send outside any transaction, the mark.

Each person is told by their own hours, each address is settled by itself. As soon as one has heard,
the notice is `sent`: it can be withdrawn and followed by a sooner one, whatever the others do.
Those that failed are tried again until all are settled, or the notice is no longer true."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Protocol

from sqlmodel import Session

from models.errors import DeliveryFailed
from models.records import Delivery, Person, Reminder
from service import backoff, preference
from service.actions.notices import worded
from service.actions.notices.channels import Taker, forget_phone
from service.actions.notices.later import asked_again
from service.actions.notices.quiet_hours import due_at, is_wanted
from service.actions.notices.reminder_states import close_reminder, follow
from service.actions.notices.reminders import LASTING
from service.actions.shop import jobs
from service.actions.windows.standing import is_fresh
from service.notify.channel import Channel
from service.queries.jobs import job_of
from service.queries.reminders import OWED, deliveries_of, has_heard, heard_at, of_pour
from service.queries.rows import find, find_shop
from service.store import Store

FIRST_PAUSE = timedelta(minutes=1)
LONGEST_PAUSE = timedelta(hours=1)
ONE_THING = timedelta(minutes=10)
SETTLED = ("sent", "refused")


class Held(Protocol):
    """What a round has claimed, asked inside a unit of work."""

    def renewed(self, session: Session) -> Sequence[int]:
        """Those that are still ours, for as long again as a lease lasts."""

    def is_ours(self, session: Session, reminder_id: int) -> bool:
        """Whether nobody else has claimed it since."""


def deliver_due(store: Store, now: datetime, held: Held, taker: Taker, channel: Channel) -> None:
    """Send the claimed reminders over one channel as one notice, but for those that are settled
    there, wait for another hour or may not be sent.

    A crash after a send and before its mark repeats that one send when the claim ends;
    nothing is lost.
    """
    with store.unit_of_work() as session:
        found = [find(session, Reminder, one, "reminder_id") for one in held.renewed(session)]
        going = [one for one in found if _goes_out(session, one, now, taker, channel)]
        opening = {(one.pour_id, one.step) for one in going if one.kind == "opens"}
        going = [
            one for one in going if one.kind != "closes" or (one.pour_id, one.step) not in opening
        ]
        rows = [_attempt(one, taker, channel, now) for one in going]
        session.add_all(rows)
        session.flush()
        deliveries = [(row.id, one.id) for row, one in zip(rows, going, strict=True)]
        reader = preference.of_shop(find_shop(session), now)
        if taker.person_id is not None:
            reads = find(session, Person, taker.person_id, "person_id").reads
            reader = preference.with_chosen(reader, reads or {})
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


def _attempt(reminder: Reminder, taker: Taker, channel: Channel, now: datetime) -> Delivery:
    return Delivery(
        created_at=now,
        reminder_id=reminder.id,
        person_id=taker.person_id,
        channel=channel.name,
        attempt=reminder.attempt,
        at=now,
    )


def _goes_out(
    session: Session, reminder: Reminder, now: datetime, taker: Taker, channel: Channel
) -> bool:
    """Whether it is owed to this channel by now, and true."""
    if not _owed(reminder) or now > reminder.not_after:
        return False
    if not _well_founded(session, reminder, now):
        return False
    at = _owed_at(session, reminder, taker, channel)
    return at is not None and at <= now


def settle(
    store: Store, now: datetime, reminder_id: int, takers: Sequence[Taker], held: Held
) -> str:
    """Let go of a claimed reminder, for good, until the next is told, or until the next try; return
    its state after. One that is another clock's by now is left to it."""
    with store.unit_of_work() as session:
        ours = held.is_ours(session, reminder_id)
        reminder = find(session, Reminder, reminder_id, "reminder_id")
        if not ours or not _owed(reminder):
            return reminder.state
        if now > reminder.not_after:
            return _close(session, reminder, now, "expired")
        if not _well_founded(session, reminder, now):
            return _later(session, reminder, now + FIRST_PAUSE)
        wanting = [one for one in takers if one.channels and _is_for(session, reminder, one)]
        if not wanting:
            return _close(session, reminder, now, "nobody")
        each = [(one, channel) for one in wanting for channel in one.channels]
        hours = [_owed_at(session, reminder, *one) for one in each]
        if owed := [at for at in hours if at is not None]:
            pause = backoff.pause(FIRST_PAUSE, reminder.attempt, LONGEST_PAUSE)
            return _later(session, reminder, min(at if at > now else now + pause for at in owed))
        told = any(_was_just_told(session, reminder, *one) for one in each)
        if told:
            follow(reminder, "heard", now)
            close_reminder(reminder, now)
        return _close(session, reminder, now, "refused")


def _owed_at(
    session: Session, reminder: Reminder, taker: Taker, channel: Channel
) -> datetime | None:
    """When it is told over a channel; None where it is not: unwanted, told, refused, or the same
    was told just now."""
    if not _is_for(session, reminder, taker):
        return None
    again = asked_again(reminder, taker.person_id)
    if channel.name in _settled(session, reminder, reminder.asked_at if again else None):
        return None
    if _was_just_told(session, reminder, taker, channel):
        return None
    return again or due_at(reminder, taker.rules)


def _is_for(session: Session, reminder: Reminder, taker: Taker) -> bool:
    """Whether it is for them: what they want, and what is taken back of what they heard."""
    if reminder.kind != "correction":
        return is_wanted(reminder, taker.rules)
    names = [channel.name for channel in taker.channels]
    return has_heard(session, reminder.pour_id, reminder.step, taker.person_id, names)


def _owed(reminder: Reminder) -> bool:
    return reminder.state in OWED and reminder.done_at is None


def _later(session: Session, reminder: Reminder, at: datetime) -> str:
    """Nobody holds it meanwhile, so that a projection may move it."""
    reminder.due_at = min(at, reminder.not_after)
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


def _was_just_told(session: Session, reminder: Reminder, taker: Taker, channel: Channel) -> bool:
    """Whether that it opens, and until when, was said there so shortly before their hour, or after
    it, that to say it closes then is the same again: a short window, one that quiet hours moved, or
    a pour that was logged late."""
    if reminder.kind != "closes":
        return False
    again = asked_again(reminder, taker.person_id)
    at = again or due_at(reminder, taker.rules, planned_late=False)
    return any(
        row.kind == "opens"
        and row.step == reminder.step
        and row.superseded_at is None
        and (until := row.facts.get("latest")) is not None
        and abs(datetime.fromisoformat(until) - reminder.window_at) < ONE_THING
        and (heard := heard_at(session, row.id, channel.name)) is not None
        and at - heard < ONE_THING
        for row in of_pour(session, reminder.pour_id)
    )


def _close(session: Session, reminder: Reminder, now: datetime, event: str) -> str:
    """Nothing more is sent; `event` is how it ended for whom it did not reach."""
    follow(reminder, event, now)
    session.add(reminder)
    return reminder.state


def _settled(session: Session, reminder: Reminder, since: datetime | None) -> set[str]:
    """Addresses that have it as it now reads, or refused it for good.

    since : it was asked for again
    """
    rows = deliveries_of(session, reminder.id, since=since or reminder.changed_at)
    return {row.channel for row in rows if row.outcome in SETTLED}
