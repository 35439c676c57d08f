"""An order of castings for one client, the pours its maker has set, and the plan of them all."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint, UniqueConstraint
from sqlmodel import Field, SQLModel

from models.records.base import NULLABLE_JSON, OfShop, Owned, once_a_shop
from models.records.fields import Hours, Instant, Name, Note, YesNo


class OrderBase(SQLModel):
    """`name` is what its maker calls it; no more is kept of a client."""

    name: Name
    due_at: Instant = Field(description="when it is promised")
    together: YesNo = Field(default=False, description="alike pieces poured on one day, for colour")
    assembly_h: Hours = Field(default=0.0, description="work once the last part is ready")
    note: Note = ""


class Order(OrderBase, Owned, table=True):
    """`parts` is a list of {piece_id, count, mix_id, place_id, sealer_id, sealer_then}. Put away it
    is done."""

    __tablename__ = "client_order"
    __table_args__ = (
        once_a_shop("name"),
        CheckConstraint("assembly_h BETWEEN 0 AND 1000", name="assembly_range"),
    )

    due_at: datetime
    parts: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)


class PinnedPour(OfShop, table=True):
    """One piece of an order, by its number from 1, whose mould and start its maker has set."""

    __tablename__ = "pinned_pour"
    __table_args__ = (
        UniqueConstraint("order_id", "piece_id", "number", name="uq_pinned_pour_piece"),
        CheckConstraint("number > 0", name="number_positive"),
    )

    order_id: int = Field(foreign_key="client_order.id", index=True, ondelete="CASCADE")
    piece_id: int = Field(foreign_key="piece.id", index=True)
    number: int
    mould_id: int = Field(foreign_key="mould.id", index=True)
    start_at: datetime


class OrderPlan(OfShop, table=True):
    """The one plan that stands in a shop: the answer, what moved since the one before, and how far
    the next one is. `inputs` is what it rests on."""

    __tablename__ = "order_plan"
    __table_args__ = (once_a_shop(),)

    made_at: datetime | None = None
    inputs: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)
    answer: dict[str, Any] | None = Field(default=None, sa_type=NULLABLE_JSON)
    begun_at: datetime | None = None
    steps_done: int = 0
    steps: int = 0
