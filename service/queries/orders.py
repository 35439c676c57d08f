"""Orders that are still to be made, the pours that are set for them, and the plan that stands."""

from collections.abc import Sequence
from datetime import datetime

from sqlmodel import Session, col, select

from models.records import Order, OrderPlan, PinnedPour, Pour
from service.queries.held import NEVER_WAS
from service.queries.part import WHOLE, Part


def open_orders(session: Session) -> Sequence[Order]:
    """The orders that are not put away, as they are due."""
    wanted = select(Order).where(col(Order.archived_at).is_(None))
    return session.exec(wanted.order_by(col(Order.due_at), col(Order.id))).all()


def gone_since(session: Session, since: datetime) -> Sequence[Order]:
    """The orders that were put away from an hour on, as they were due."""
    wanted = select(Order).where(col(Order.archived_at) >= since)
    return session.exec(wanted.order_by(col(Order.due_at), col(Order.id))).all()


def any_open(session: Session) -> bool:
    """Whether an order is still to be made."""
    wanted = select(Order.id).where(col(Order.archived_at).is_(None)).limit(1)
    return session.exec(wanted).first() is not None


def pins(session: Session, order_id: int | None = None, part: Part = WHOLE) -> Sequence[PinnedPour]:
    """The pours that are set, of one order or of all."""
    wanted = select(PinnedPour)
    if order_id is not None:
        wanted = wanted.where(PinnedPour.order_id == order_id)
    return part.rows(session, wanted, col(PinnedPour.start_at), col(PinnedPour.id))


def pin_of(session: Session, order_id: int, piece_id: int, number: int) -> PinnedPour | None:
    """The pour that is set for one piece of an order."""
    return session.exec(
        select(PinnedPour).where(
            PinnedPour.order_id == order_id,
            PinnedPour.piece_id == piece_id,
            PinnedPour.number == number,
        )
    ).one_or_none()


def poured_since(session: Session, piece_ids: Sequence[int], since: datetime) -> Sequence[Pour]:
    """Pours of some pieces from an hour on, but for lost and mistaken ones, the first first."""
    wanted = select(Pour).where(
        col(Pour.piece_id).in_(piece_ids),
        Pour.placed_at >= since,
        col(Pour.closed_why).not_in((NEVER_WAS, "lost")),
    )
    return session.exec(wanted.order_by(col(Pour.placed_at), col(Pour.id))).all()


def plan_row(session: Session) -> OrderPlan | None:
    """The one plan of the shop."""
    return session.exec(select(OrderPlan)).one_or_none()
