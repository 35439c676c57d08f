"""Where the notices of a shop go, how that went the last time, and what is tried again."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import DeliveryFailed
from models.message import Message
from models.records import Delivery, PushSubscription
from service.actions.notices import reminder_states as states
from service.notify import address as addresses
from service.notify import push
from service.notify.channel import Channel, Notice
from service.notify.relay import Relay
from service.queries import deliveries, reminders
from service.queries.rows import find_shop
from service.settings import Settings
from service.words import Reader, say

MOST_PHONES = 20
UNFINISHED = timedelta(minutes=5)  # a try that has not ended by then died on the way
Relays = Callable[[Sequence[str]], Sequence[Channel]]


@dataclass(frozen=True)
class Failing:
    """A channel over which the last notice did not go out. `shown` is how the owner knows it."""

    name: str
    shown: str
    reason: str
    at: datetime

    @property
    def kind(self) -> str:
        """What it is, without where it leads."""
        return self.name.partition(":")[0]


def channels_of(
    session: Session, settings: Settings, relays: Relays | None = None
) -> list[Channel]:
    """One for each address and each phone of the shop.

    relays : makes those of the addresses, where they are not Apprise's
    """
    stored = find_shop(session).notice_addresses
    made: list[Channel] = [
        *(relays(stored) if relays is not None else (relay_of(settings, one) for one in stored))
    ]
    return [*made, *(phone_of(settings, one) for one in deliveries.phones(session))]


def relay_of(settings: Settings, address: str) -> Relay:
    return Relay(address, settings.allowed_networks, settings.reachable)


def phone_of(settings: Settings, phone: PushSubscription) -> push.Push:
    signer, sub = push.key(settings.data), push.contact(settings)
    return push.Push(phone, signer, sub, settings.allowed_networks)


def add_phone(
    session: Session,
    now: datetime,
    settings: Settings,
    values: dict[str, str],
    person_id: int | None = None,
) -> PushSubscription:
    """A browser takes notices from now on; one that comes again brings its new keys."""
    push.check(values["endpoint"], values["p256dh"], values["auth"], settings.allowed_networks)
    phone = deliveries.phone_at(session, values["endpoint"])
    if phone is None:
        phone = PushSubscription(created_at=now, endpoint="", p256dh="", auth="", address="")
    for name, value in values.items():
        setattr(phone, name, value)
    phone.person_id = person_id  # whoever is signed in there now
    session.add(phone)
    for surplus in deliveries.phones(session)[:-MOST_PHONES]:  # the oldest: it was left long ago
        session.delete(surplus)
    return phone


def phone_named(phones: Iterable[PushSubscription], name: str) -> PushSubscription | None:
    """The one that deliveries call so."""
    return next((one for one in phones if push.name_of(one.endpoint) == name), None)


def forget_phone(session: Session, name: str) -> None:
    """No more notices go there."""
    if phone := phone_named(deliveries.phones(session), name):
        session.delete(phone)


def failing(session: Session, now: datetime) -> list[Failing]:
    """Channels of the shop over which the last notice did not go out, as told by its own row."""
    last = deliveries.last_of_each(session)
    stored = find_shop(session).notice_addresses
    known = {Relay(one).name: addresses.masked(one) for one in stored}
    known |= {
        push.name_of(one.endpoint): one.device or "a phone" for one in deliveries.phones(session)
    }
    return [
        Failing(name, shown, row.reason or "it broke off", row.at)
        for name, shown in known.items()
        if (row := last.get(name)) is not None and _failed(row, now)
    ]


def _failed(row: Delivery, now: datetime) -> bool:
    broken_off = row.outcome == "started" and now - row.at > UNFINISHED
    return row.outcome in ("failed", "refused") or broken_off


def try_again(session: Session, now: datetime) -> int:
    """Whatever reached nobody, or waits for its next try, and is still true is owed at once."""
    found = reminders.undelivered(session, now)
    for row in found:
        if row.state == "waiting":
            row.attempt = 0
        else:
            states.follow(row, "owed", now)
        row.due_at = now
        session.add(row)
    return len(found)


def try_out(channel: Channel, now: datetime, reader: Reader) -> str:
    """Send a test; why it was not taken, or nothing."""
    title, body = (say(Message(code), reader) for code in ("test_title", "test_body"))
    key, lasts = f"test-{now:%Y%m%dT%H%M%S}", timedelta(hours=1)
    try:
        channel.send(Notice(key, title, body, now + lasts, path="/", topic="test", lasts=lasts))
    except DeliveryFailed as error:
        return error.reason
    return ""


def keep_test(session: Session, now: datetime, name: str, reason: str = "") -> None:
    """A test is a delivery like any other: it says how the channel stands."""
    session.add(
        Delivery(
            created_at=now,
            channel=name,
            attempt=1,
            at=now,
            finished_at=now,
            outcome="failed" if reason else "sent",
            reason=reason[:500],
        )
    )
