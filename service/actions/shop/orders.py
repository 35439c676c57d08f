"""An order is put down, and a pour of it set; the plan is then worked out anew."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlmodel import Session

from models.coating.finish import checked
from models.errors import InputError
from models.planning.orders import MOST_PIECES
from models.records import Mix, Mould, Order, Owned, Piece, PinnedPour, Place, Sealer
from models.units import number_within
from service.actions.shop import jobs
from service.actions.windows.scenario_rows import sealer_of
from service.nouns.order import PinCreate
from service.queries.orders import open_orders, pin_of
from service.queries.rows import find, taken

NAMED: dict[str, type[Owned]] = {
    "piece_id": Piece,
    "mix_id": Mix,
    "place_id": Place,
    "sealer_id": Sealer,
}


def save_order(
    session: Session,
    now: datetime,
    values: Mapping[str, Any],
    order_id: int | None = None,
    pours: Sequence[int] = (),
) -> Order:
    """A new order, or the changed one; what it names has to be there. pours : none are changed."""
    del pours
    row = Order(created_at=now, **values) if order_id is None else find(session, Order, order_id)
    if order_id is not None:
        for name, value in values.items():
            setattr(row, name, value)
    with session.no_autoflush:
        name = str(row.name or "").strip()
        if not name or len(name) > 120:
            raise InputError("name", name, "empty or too long", "1 to 120 characters")
        if row.due_at is None:
            raise InputError("due_at", None, "empty", "when it is promised")
        number_within("assembly_h", row.assembly_h, 0.0, 1000.0, "h")
        taken(session, Order, name, but=order_id)
        if not row.parts:
            raise InputError("parts", 0, "no piece is ordered", "one piece at least")
        seen: set[int] = set()
        for k, part in enumerate(row.parts):
            for field, table in NAMED.items():
                if part.get(field) is not None:
                    find(session, table, part[field], f"parts[{k}].{field}")
            _goes_on(session, f"parts[{k}].sealer_then", part)
            number_within(f"parts[{k}].count", part["count"], 1, MOST_PIECES)
            if part["piece_id"] in seen:
                wrong = "told twice in this order"
                raise InputError(
                    f"parts[{k}].piece_id", part["piece_id"], wrong, "one line a piece"
                )
            seen.add(part["piece_id"])
        fits_the_plan(session, row)
    session.add(row)
    session.flush()
    jobs.plan_due(session, now)
    return row


def fits_the_plan(session: Session, row: Order) -> None:
    """Refuse an order with which more pieces are wanted than one plan can hold."""
    with session.no_autoflush:
        others = [one for one in open_orders(session) if one.id != row.id]
    wanted = [*others] if row.archived_at is not None else [*others, row]
    total = sum(int(part["count"]) for one in wanted for part in one.parts)
    if total > MOST_PIECES:
        wrong = "more pieces in all open orders than can be planned"
        raise InputError("parts", total, wrong, f"{MOST_PIECES} at most")


def _goes_on(session: Session, field: str, part: Mapping[str, Any]) -> None:
    """Refuse products over a sealer that is not told, or that do not go over it."""
    keys = part.get("sealer_then") or ()
    if not keys:
        return
    over = [find(session, Sealer, key, field) for key in keys]
    names = ", ".join(one.name for one in over)
    if part.get("sealer_id") is None:
        raise InputError(field, names, "over no sealer", "sealer_id for the first")
    first = find(session, Sealer, part["sealer_id"], "sealer_id")
    try:
        checked([sealer_of(one) for one in (first, *over)])
    except InputError as error:
        names = f"{first.name}, {names}"
        raise InputError(field, names, error.wrong, error.allowed) from None


def pin(session: Session, now: datetime, order_id: int, wanted: PinCreate) -> PinnedPour:
    """The pour of one piece of an order is set: its mould, its start. The last word counts."""
    order = find(session, Order, order_id, "order_id")
    counts = {part["piece_id"]: int(part["count"]) for part in order.parts}
    if wanted.piece_id not in counts:
        allowed = "one of " + ", ".join(map(str, sorted(counts)))
        raise InputError("piece_id", wanted.piece_id, "not ordered here", allowed)
    number_within("number", wanted.number, 1, counts[wanted.piece_id])
    mould = find(session, Mould, wanted.mould_id, "mould_id")
    if mould.piece_id not in (None, wanted.piece_id):
        raise InputError("mould_id", mould.id, "built for another piece", "a mould of this piece")
    if wanted.start_at < now:
        raise InputError("start_at", wanted.start_at.isoformat(), "has passed", "a time to come")
    row = pin_of(session, order_id, wanted.piece_id, wanted.number)
    if row is None:
        row = PinnedPour(
            created_at=now,
            order_id=order_id,
            piece_id=wanted.piece_id,
            number=wanted.number,
            mould_id=wanted.mould_id,
            start_at=wanted.start_at,
        )
    row.mould_id, row.start_at = wanted.mould_id, wanted.start_at
    session.add(row)
    session.flush()
    jobs.plan_due(session, now)
    return row


def let_go(session: Session, now: datetime, order_id: int, pin_id: int) -> PinnedPour:
    """A pour that was set is the planner's again."""
    row = find(session, PinnedPour, pin_id, "pin_id")
    if row.order_id != order_id:
        raise InputError("pin_id", pin_id, "of another order", f"a pin of order {row.order_id}")
    session.delete(row)
    jobs.plan_due(session, now)
    return row
