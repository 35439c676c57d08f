"""Who takes notices, and how the last try over each channel ended."""

from collections import Counter
from collections.abc import Sequence

from sqlmodel import Session, col, func, select

from models.records import Delivery, Person, PushSubscription

LOOKED_THROUGH = 300  # the newest deliveries: a channel that is in use is among them


def phones(session: Session) -> Sequence[PushSubscription]:
    """Browsers that take notices, the first that asked first; none of who has left the shop."""
    return session.exec(
        select(PushSubscription)
        .outerjoin(Person, col(PushSubscription.person_id) == col(Person.id))
        .where(col(Person.left_at).is_(None))
        .order_by(col(PushSubscription.id))
    ).all()


def count_phones(session: Session) -> int:
    """All that are kept."""
    return session.exec(select(func.count(col(PushSubscription.id)))).one()


def phone_at(session: Session, endpoint: str) -> PushSubscription | None:
    """The browser with this address at its push service."""
    wanted = select(PushSubscription).where(PushSubscription.endpoint == endpoint)
    return session.exec(wanted).one_or_none()


def counts(session: Session) -> list[tuple[str, str, int]]:
    """Kind of channel, outcome and number of the deliveries that are kept."""
    found: Counter[tuple[str, str]] = Counter()
    by = col(Delivery.channel), col(Delivery.outcome)
    wanted = select(Delivery.channel, Delivery.outcome, func.count()).group_by(*by)
    for name, outcome, count in session.exec(wanted):
        found[name.partition(":")[0], outcome] += count
    return [(kind, outcome, count) for (kind, outcome), count in sorted(found.items())]


def last_of_each(session: Session) -> dict[str, Delivery]:
    """The newest delivery of every channel, by its name."""
    newest = select(Delivery).order_by(col(Delivery.id).desc()).limit(LOOKED_THROUGH)
    found: dict[str, Delivery] = {}
    for row in session.exec(newest):
        found.setdefault(row.channel, row)
    return found
