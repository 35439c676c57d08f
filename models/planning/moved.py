"""What a plan says otherwise than the one before, and why."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from models.message import Message
from models.planning.courses import Courses
from models.planning.orders import MouldThere, Piece, Shop


@dataclass(frozen=True)
class Stood:
    """One pour of a plan, as far as it is compared; at : None where it was left out."""

    piece: Piece
    mould: str = ""
    at: datetime | None = None


@dataclass(frozen=True)
class Moved:
    """From where and when to where and when; None: not in the plan."""

    piece: Piece
    from_at: datetime | None
    to_at: datetime | None
    from_mould: str
    to_mould: str
    why: Message


def moved(
    shop: Shop,
    before: Iterable[Stood],
    after: Iterable[Stood],
    forbids: Mapping[str, Courses],
    moulds: Iterable[MouldThere],
    *,
    same_orders: bool,
) -> tuple[Moved, ...]:
    """Each piece that stood in the plan before and is poured otherwise now; what was to be poured
    by now and was not is no move.

    forbids : the courses of the plan after, which say what stands against a start
    same_orders : whether the orders are as they were
    """
    now_there = {one.piece.key: one for one in after}
    free = {one.key: one.free_h for one in moulds}
    out: list[Moved] = []
    for one in before:
        then = now_there.get(one.piece.key)
        if then is None or one.at is None or one.at < shop.days.now:
            continue
        if (one.at, one.mould) == (then.at, then.mould):
            continue
        at_h = shop.days.hour(one.at)
        courses = forbids.get(one.piece.kind)
        against = next(
            (why for h, why in (courses.forbids if courses else {}).items() if abs(h - at_h) < 0.6),
            None,
        )
        held_h = free.get(one.mould, 0.0)
        if against is not None:
            why = Message("moved_weather", {"why": against})
        elif at_h < held_h < float("inf"):
            why = Message("moved_mould", {"mould": one.mould, "at": shop.days.at(held_h)})
        else:
            why = Message("moved_others" if same_orders else "moved_order")
        out.append(Moved(one.piece, one.at, then.at, one.mould, then.mould, why))
    return tuple(out)
