"""The stock of a shop, what the plan takes of it, and what the frost would."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from sqlmodel import Session

from models.errors import InputError, Unknown
from models.facts.amounts import FREEZES, FREEZES_C, STOCKED
from models.facts.sealers import CHEMISTRIES
from models.planning.amounts import Cast, Choices, amounts
from models.records import Mix, Place, Pour, Sealer, Stock
from models.units import number_within, one_of
from service.actions.weather.show_place import show_place
from service.actions.windows import scenario_rows
from service.actions.windows.plan_orders import to_pour
from service.queries import stock as rows
from service.queries.poured import Poured, named_by, piece_label, poured
from service.queries.rows import find, find_shop
from service.words import PLAIN, say

LOOKED_AHEAD = timedelta(hours=48)
Thing = tuple[str, str, int | None]  # kind, name, and the key of its mix or sealer
Wanted = Iterator[tuple[Thing, float]]


def save_stock(
    session: Session, now: datetime, values: Mapping[str, Any], stock_id: int | None = None
) -> Stock:
    """A new row, or the changed one."""
    one_of("kind", values["kind"], STOCKED)
    number_within("amount", values["amount"], 0.0, 100_000.0, STOCKED[values["kind"]])
    if not str(values["name"]).strip():
        raise InputError("name", values["name"], "empty", "1 to 120 characters")
    for name, table in (("mix_id", Mix), ("sealer_id", Sealer), ("place_id", Place)):
        if values.get(name) is not None:
            find(session, table, values[name], name)
    opened, until = values.get("opened_on"), values.get("best_before")
    today = today_of(session, now)
    if opened is not None and opened > today:
        raise InputError("opened_on", opened, "in the future", f"{today} or earlier")
    told = {**values, "opened_on": opened, "best_before": until}
    if stock_id is None:
        row = Stock(created_at=now, **told)
    else:
        row = find(session, Stock, stock_id, "stock_id")
        for name, value in told.items():
            setattr(row, name, value)
    session.add(row)
    session.flush()
    return row


def use_up(session: Session, now: datetime, stock_id: int) -> Stock:
    """It is gone: counted no more, and kept."""
    row = find(session, Stock, stock_id, "stock_id")
    row.archived_at = row.archived_at or now
    session.add(row)
    return row


def bring_back(session: Session, stock_id: int) -> Stock:
    row = find(session, Stock, stock_id, "stock_id")
    row.archived_at = None
    session.add(row)
    return row


def today_of(session: Session, now: datetime) -> date:
    return now.astimezone(ZoneInfo(find_shop(session).timezone)).date()


@dataclass(frozen=True)
class Need:
    """So much of something for what is planned, what of it is there, and what is to be bought."""

    kind: str
    name: str
    need: float
    have: float

    @property
    def unit(self) -> str:
        return STOCKED[self.kind]

    @property
    def buy(self) -> float:
        return max(self.need - self.have, 0.0)


@dataclass(frozen=True)
class Cold:
    """Stock that a frost at its place would take; `lowest_C` None: no weather tells."""

    stock_id: int
    name: str
    place: str
    lowest_C: float | None


@dataclass(frozen=True)
class Unreckoned:
    """A pour whose amounts cannot be told, so that the list lacks them; why : what stands against
    it."""

    pour_id: int
    name: str
    why: str


@dataclass(frozen=True)
class UnreckonedOrder:
    """The same of an order, of what it asks for beside its pours."""

    order_id: int
    name: str
    why: str


@dataclass(frozen=True)
class Shopping:
    """What pours and orders take less what is there; `past`: keys of what is past its best-before;
    of `orders` something is not in it."""

    needs: tuple[Need, ...]
    past: tuple[int, ...]
    cold: tuple[Cold, ...]
    unreckoned: tuple[Unreckoned, ...] = ()
    orders: tuple[UnreckonedOrder, ...] = ()


def shopping(session: Session, now: datetime) -> Shopping:
    """Of pours to come their mix, of all under way the coats left, of orders what is not poured."""
    there, today = rows.in_stock(session), today_of(session, now)
    past = [one for one in there if one.best_before is not None and one.best_before < today]
    good = [one for one in there if one not in past]
    wanted: dict[Thing, float] = {}
    untold: list[Unreckoned] = []
    pours = rows.under_way(session)
    held = named_by(session, pours)  # else each of them would be asked for once a pour
    on = Counter(key for key, _ in rows.coats_on(session))
    for pour in pours:
        try:
            _add(wanted, poured(session, pour), pour, on[pour.id], mixed=pour.placed_at > now)
        except InputError as error:
            untold.append(Unreckoned(pour.id, piece_label(pour), str(error)))
    del held
    orders, ordered = [], to_pour(session, now)
    held = named_by(session, [draft for _, draft, _ in ordered if isinstance(draft, Pour)])
    for order, draft, left in ordered:
        try:
            if not isinstance(draft, Pour):
                raise InputError(
                    "order", order.name, say(draft, PLAIN), "a part with what it lacks"
                )
            _add(wanted, poured(session, draft), draft, 0, mixed=True, times=left)
        except InputError as error:
            orders.append(UnreckonedOrder(order.id, order.name, str(error)))
    del held
    return Shopping(
        tuple(_allotted(good, wanted)),
        tuple(one.id for one in past),
        cold(session, now),
        tuple(untold),
        tuple(orders),
    )


def _add(
    wanted: dict[Thing, float], of: Poured, pour: Pour, on: int, *, mixed: bool, times: int = 1
) -> None:
    for key, amount in list(_wanted(of, pour, on, mixed=mixed)):
        wanted[key] = wanted.get(key, 0.0) + times * amount


def _wanted(of: Poured, pour: Pour, on: int, *, mixed: bool) -> Wanted:
    """What a pour takes of each thing. Raises InputError where its amounts cannot be told.

    on : coats that it has; mixed : whether it is still to be mixed
    """
    mixture, shape = scenario_rows.mixture_of(of.mix), scenario_rows.shape_of(of.piece)
    if mixed:
        found = amounts(Cast(shape, mixture), Choices())
        if found.bags is not None:
            yield ("bag", of.mix.name, pour.mix_id), float(found.bags.whole)
        for part in found.total:
            if part.kind not in ("bag", "water"):
                yield (part.kind, part.name, pour.mix_id), part.kg
    keys = (pour.sealer_id, *pour.sealer_then)
    for key, sealer in zip(keys, (of.sealer, *of.then), strict=True):
        if sealer is None:
            continue
        system = scenario_rows.sealer_of(sealer)
        coats = amounts(Cast(shape, mixture, system), Choices()).coats
        if coats is None:
            continue
        left = coats.coats[on:]
        on = max(on - len(coats.coats), 0)
        share = sum(one.sealer_l for one in left) / sum(one.sealer_l for one in coats.coats)
        if share:
            yield ("sealer", sealer.name, key), share * coats.sealer_l


def _allotted(there: Sequence[Stock], wanted: Mapping[Thing, float]) -> Iterator[Need]:
    """Each need with what is there for it: of its own mix or sealer, and of its kind and name what
    no need before it takes."""
    left = {one.id: one.amount for one in there}
    for (kind, name, row_id), need in sorted(wanted.items(), key=lambda one: one[0][:2]):
        own, shared = [], []
        for one in there:
            key = one.sealer_id if kind == "sealer" else one.mix_id
            if one.kind == kind and key is not None and key == row_id:
                own.append(one.id)
            elif one.kind == kind and key is None and one.name.casefold() == name.casefold():
                shared.append(one.id)
        yield Need(kind, name, need, sum(left[key] for key in (*own, *shared)))
        for key in (*own, *shared):
            taken = min(left[key], need)
            left[key], need = left[key] - taken, need - taken


def cold(session: Session, now: datetime) -> tuple[Cold, ...]:
    """Stock with water in it at a place that may get as cold as freezes it, within two days; where
    no weather tells, in any room that is not heated."""
    found, told = [], dict[int, float | None]()
    for one in rows.in_stock(session, kinds=FREEZES):
        if one.place_id is None or not _freezes(session, one):
            continue
        place = find(session, Place, one.place_id, "place_id")
        if place.kind == "heated room":
            continue
        if place.id not in told:
            told[place.id] = _lowest_C(session, now, place.id)
        lowest_C = told[place.id]
        if lowest_C is None or lowest_C <= FREEZES_C:
            found.append(Cold(one.id, one.name, place.name, lowest_C))
    return tuple(found)


def _freezes(session: Session, one: Stock) -> bool:
    """Whether water is in it; of a sealer that nobody tells, yes."""
    if one.sealer_id is None:
        return True
    chemistry = find(session, Sealer, one.sealer_id, "sealer_id").chemistry
    sheet = CHEMISTRIES.get(chemistry)
    return sheet is None or sheet.dries == "water"


def _lowest_C(session: Session, now: datetime, place_id: int) -> float | None:
    air = show_place(session, now, place_id).air
    if isinstance(air, Unknown):
        return None
    ahead = [
        float(low)
        for at, low in zip(air.times, air.place_C.p10, strict=True)
        if now <= at <= now + LOOKED_AHEAD
    ]
    return round(min(ahead), 1) if ahead else None
