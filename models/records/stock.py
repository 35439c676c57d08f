"""What stands in the shop to be used up: bags, sealers, polymer, by lot."""

from datetime import date

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Owned
from models.records.fields import Key, Name, Number, Word


class StockBase(SQLModel):
    """`amount` in the unit of its kind; `mix_id`, `sealer_id`: what it is used for."""

    kind: Word
    name: Name
    lot: Word = ""
    amount: Number = Field(description="bags of a bag, litres of a sealer, else kg")
    mix_id: Key | None = Field(default=None, foreign_key="mix.id", index=True)
    sealer_id: Key | None = Field(default=None, foreign_key="sealer.id", index=True)
    place_id: Key | None = Field(default=None, foreign_key="place.id", index=True)
    opened_on: date | None = None
    best_before: date | None = None


class Stock(StockBase, Owned, table=True):
    """Put away: used up, or thrown away."""

    __tablename__ = "stock"
    __table_args__ = (CheckConstraint("amount >= 0", name="amount_not_negative"),)
