"""Where the notices of a shop go, how that went the last time, and what is tried again."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session

from models.errors import DeliveryFailed, InputError
from models.message import Message
from models.records import Delivery, Person, PushSubscription
from service.actions.notices import reminder_states as states
from service.actions.notices.quiet_hours import OwnRules, rules_of
from service.notify import address as addresses
from service.notify import push
from service.notify.channel import Channel, Notice
from service.notify.relay import Relay
from service.queries import deliveries, people, reminders
from service.queries.rows import find_shop
from service.settings import Settings
from service.words import Reader, say

MOST_PHONES = 20  # of one person
MOST_OF_ALL = 500
UNFINISHED = timedelta(minutes=5)  # a try that has not ended by then died on the way
Relays = Callable[[Sequence[str]], Sequence[Channel]]


@dataclass(frozen=True)
class Failing:
    """A channel over which the last notice did not go out. `shown` is how its own person and the
    owner know it."""

    name: str
    shown: str
    reason: str
    at: datetime
    person_id: int | None = None

    @property
    def kind(self) -> str:
        """What it is, without where it leads."""
        return self.name.partition(":")[0]


@dataclass(frozen=True)
class Listener:
    """The shop, or one of its people: what they want to be told, and where it goes.

    person_id : None is the shop, with the phones of before people signed in
    """

    person_id: int | None
    name: str
    rules: OwnRules
    addresses: tuple[str, ...] = ()
    phones: tuple[PushSubscription, ...] = ()

    @property
    def ways(self) -> dict[str, str]:
        """By the name of each channel how it is shown."""
        of = f", {self.name}" if self.name else ""
        return {Relay(one).name: addresses.masked(one) + of for one in self.addresses} | {
            push.name_of(one.endpoint): (one.device or "a phone") + of for one in self.phones
        }


@dataclass(frozen=True)
class Taker:
    """The same, with its senders."""

    person_id: int | None
    rules: OwnRules
    channels: tuple[Channel, ...]


def listeners(session: Session) -> list[Listener]:
    """The shop and its people, as far as they take notices."""
    shop, phones = find_shop(session), deliveries.phones(session)
    whose: list[tuple[Person | None, Sequence[str]]] = [(None, shop.notice_addresses)]
    whose += [(one, one.notice_addresses) for one in people.present(session)]
    found = []
    for person, addresses_kept in whose:
        key, name = (None, "") if person is None else (person.id, person.name)
        own = tuple(phone for phone in phones if phone.person_id == key)
        if addresses_kept or own:
            rules = rules_of(shop, person)
            found.append(Listener(key, name, rules, tuple(addresses_kept), own))
    return found


def takers(session: Session, settings: Settings, relays: Relays | None = None) -> list[Taker]:
    """Who is told, each with a channel for every address and every phone.

    relays : makes those of the addresses, where they are not Apprise's
    """
    make = relays or (lambda some: [relay_of(settings, one) for one in some])
    return [
        Taker(
            one.person_id,
            one.rules,
            (
                *(make(one.addresses) if one.addresses else ()),
                *(phone_of(settings, phone) for phone in one.phones),
            ),
        )
        for one in listeners(session)
    ]


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
        if deliveries.count_phones(session) >= MOST_OF_ALL:
            wrong = f"the shop has {MOST_OF_ALL} phones"
            raise InputError("endpoint", "(hidden)", wrong, "one more when another was removed")
        phone = PushSubscription(created_at=now, endpoint="", p256dh="", auth="", address="")
    for name, value in values.items():
        setattr(phone, name, value)
    phone.person_id = person_id  # whoever is signed in there now
    session.add(phone)
    own = [one for one in deliveries.phones(session) if one.person_id == person_id]
    for surplus in own[:-MOST_PHONES]:  # the oldest: it was left long ago
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
    """Channels of the shop and its people over which the last notice did not go out, as told by its
    own row."""
    last = deliveries.last_of_each(session)
    return [
        Failing(name, shown, row.reason or "it broke off", row.at, one.person_id)
        for one in listeners(session)
        for name, shown in one.ways.items()
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
