"""A browser that takes notices: where its push service is, and the keys to write to it alone."""

from sqlmodel import Field

from models.records.base import OfShop, once_a_shop


class PushSubscription(OfShop, table=True):
    """`address` is the one under which that browser opens castclock, `device` what it says it is;
    whose it is is known where people sign in.

    Whoever knows `endpoint`, `p256dh` and `auth` can write to that phone: they are never shown.
    """

    __tablename__ = "push_subscription"
    __table_args__ = (once_a_shop("endpoint"),)

    endpoint: str
    p256dh: str
    auth: str
    address: str
    device: str = ""
    person_id: int | None = Field(
        default=None, foreign_key="person.id", index=True, ondelete="CASCADE"
    )
