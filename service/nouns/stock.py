"""What stands in the shop to be used up, what of it freezes, and what is to be bought."""

from collections.abc import Sequence
from typing import Any

from models.facts.amounts import STOCKED
from models.records import Mix, Place, Sealer
from models.records.stock import StockBase
from service.nouns.base import Owned, RequestBody, ResponseBody
from service.nouns.controls import Controls
from service.nouns.form import Control, Form
from service.vocabulary import StockKind
from service.words import word


class StockCreate(StockBase, RequestBody):
    kind: StockKind


class StockRead(StockBase, Owned):
    kind: StockKind


class NeedRead(ResponseBody):
    """Of the pours that are planned and the coats still to come; `buy`: what the stock has not."""

    kind: StockKind
    name: str
    unit: str
    need: float
    have: float
    buy: float


class ColdRead(ResponseBody):
    """Stock that water makes useless when it freezes; `lowest_C`: 1 in 10 that its place gets
    colder within two days, null where no weather tells."""

    stock_id: int
    name: str
    place: str
    lowest_C: float | None


class UnreckonedRead(ResponseBody):
    """A pour whose amounts cannot be told: `needs` lacks them."""

    pour_id: int
    name: str
    why: str


class UnreckonedOrderRead(ResponseBody):
    """An order of which something cannot be told: `needs` lacks it."""

    order_id: int
    name: str
    why: str


class ShoppingRead(ResponseBody):
    needs: list[NeedRead]
    past: list[int]  # of stock past its best-before, which is not counted
    cold: list[ColdRead]
    unreckoned: list[UnreckonedRead]
    orders: list[UnreckonedOrderRead]


def controls(
    mixes: Sequence[Mix], sealers: Sequence[Sealer], places: Sequence[Place]
) -> list[Control]:
    stock = Controls(StockCreate)

    def rows(listed: Sequence[Any]) -> tuple[tuple[str, str], ...]:
        return (("", "none"), *((str(one.id), one.name) for one in listed))

    kinds = tuple((kind, f"{word('part', kind)}, in {STOCKED[kind]}") for kind in STOCKED)
    return [
        stock("kind", "What", "choice", options=kinds, default="bag", needed=True),
        stock("name", "Called", needed=True),
        stock("amount", "How much is left", needed=True),
        stock("lot", "Lot"),
        stock("mix_id", "For the mix", "key", options=rows(mixes)),
        stock("sealer_id", "Is the sealer", "key", options=rows(sealers)),
        stock("place_id", "Stands at", "key", options=rows(places)),
        stock("best_before", "Best before"),
        stock("opened_on", "Opened on"),
    ]


def values(form: Form) -> dict[str, Any]:
    return form.values_of(StockCreate)
