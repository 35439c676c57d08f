"""An order: the client's name as its maker says it, the date, and which pieces."""

from collections.abc import Container, Sequence
from datetime import datetime
from typing import Annotated, Any

from pydantic import Field, Strict

from models.errors import InputError
from models.records import Order, Piece
from models.records.fields import Instant, Key
from models.records.order import OrderBase
from service.nouns.base import Owned, RequestBody, Stored
from service.nouns.controls import Controls, room, typed_of, typed_parts
from service.nouns.form import MOST_ROWS, Control, Form
from service.nouns.moments import typed_moment
from service.nouns.pour import MOST_THEN

ORDER, PARTS = "order.", "order.parts."


class OrderPart(RequestBody):
    """So many of one piece. Mix, place, sealer and what goes over it: those of its last pour where
    none is told."""

    piece_id: Key
    count: Annotated[int, Strict(), Field(ge=1, le=200)]
    mix_id: Key | None = None
    place_id: Key | None = None
    sealer_id: Key | None = None
    sealer_then: list[Key] | None = Field(default=None, max_length=MOST_THEN)


class OrderCreate(OrderBase, RequestBody):
    parts: list[OrderPart] = Field(min_length=1, max_length=MOST_ROWS)


class OrderRead(OrderBase, Owned):
    parts: list[OrderPart]


class PinCreate(RequestBody):
    """A pour that is set: in which mould, from when. A free start: no row of it."""

    piece_id: Key
    number: Annotated[int, Strict(), Field(ge=1, le=200)]
    mould_id: Key
    start_at: Instant


class PinRead(Stored):
    order_id: int
    piece_id: int
    number: int
    mould_id: int
    start_at: datetime


def controls(
    pieces: Sequence[Piece], row: Order | None = None, sent: Container[str] = ()
) -> list[Control]:
    """Of an order; each piece on a line of its own.

    sent : the fields of a form that comes back, whose lines are all read, however many are stored
    """
    order = Controls(OrderCreate, ORDER)
    listed = (("", "none"), *((str(one.id), one.name) for one in pieces))
    lines = [
        control
        for k in range(MOST_ROWS)
        if k < room(row.parts if row else []) or f"{PARTS}{k}.piece_id" in sent
        for control in (
            Control(f"{PARTS}{k}.piece_id", "Piece", "key", options=listed, typed=True),
            Control(f"{PARTS}{k}.count", "How many", dimension="count", whole=True),
        )
    ]
    return [
        order("name", "For whom", needed=True, hint="a name as you call them"),
        order("due_at", "Promised for", "moment", needed=True),
        *lines,
        order("together", "Alike pieces on one day, for colour"),
        order("assembly_h", "Work when the last part is ready", placeholder="none"),
        order("note", "Note"),
    ]


def values(form: Form, zone: str, before: Sequence[dict[str, Any]] = ()) -> dict[str, Any]:
    """What an order's row shall say; before : its parts, whose mix, place and sealer stay."""
    told = {name: form.value(ORDER + name, zone) for name in OrderBase.model_fields}
    kept = {part["piece_id"]: part for part in before}
    parts = []
    for k in range(MOST_ROWS):
        if f"{PARTS}{k}.piece_id" not in form.fields:
            break
        piece_id, count = (form.value(f"{PARTS}{k}.{name}") for name in ("piece_id", "count"))
        if piece_id is not None:
            many = 1 if count is None else count
            parts.append({**kept.get(piece_id, {}), "piece_id": piece_id, "count": many})
        elif count is not None:
            name = f"{PARTS}{k}.piece_id"
            form.refuse(InputError(name, None, "empty", "a piece, or no count"))
    return {
        **told,
        "together": bool(told["together"]),
        "assembly_h": told["assembly_h"] or 0.0,
        "note": told["note"] or "",
        "parts": parts,
    }


def named_here(form: Form) -> dict[str, str]:
    """Names of the parts in errors, and the fields they are here; an empty line is no part."""
    found = [k for k in range(MOST_ROWS) if _filled(form, k)]
    lines = {f"parts[{n}]": f"{PARTS}{k}" for n, k in enumerate(found)}
    return {"parts": f"{PARTS}0.piece_id"} | {
        f"{part}.{name}": f"{line}.{name}"
        for part, line in lines.items()
        for name in ("piece_id", "count")
    }


def _filled(form: Form, k: int) -> bool:
    name = f"{PARTS}{k}.piece_id"
    return name in form.fields and form.shown(name).strip() != ""


def typed(row: Order, zone: str, controls: Sequence[Control]) -> dict[str, list[str]]:
    """A row as if it had been typed, by the clock of the shop."""
    return {
        **typed_of(row, controls, ORDER),
        **typed_parts(row.parts, controls, PARTS),
        **typed_moment(f"{ORDER}due_at", row.due_at, zone),
    }
