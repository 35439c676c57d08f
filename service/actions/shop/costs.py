"""What a piece costs by the prices of the shop; what has no price is left out, and named."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import ceil
from zoneinfo import ZoneInfo

from models.planning.amounts import Amounts
from models.planning.courses import Work, Works
from models.records import Pour, ProtectionPeriod, Sealer, Shop
from models.records.shop import Priced
from models.results import Trial
from service import region
from service.actions.windows.try_plan import Tried
from service.nouns.what_if import NO_COVER, WhatIfRequest

HOURS_A_DAY = 24.0
BLANKETS = {"blanket": 1, "two blankets": 2, "foam": 1}  # that are laid for a night


@dataclass(frozen=True)
class Line:
    """So many of something that has a price."""

    what: Priced
    many: float
    price: float

    @property
    def money(self) -> float:
        return self.many * self.price


@dataclass(frozen=True)
class Costs:
    """In a currency of ISO 4217; `left_out`: what was used and has no price."""

    lines: tuple[Line, ...]
    left_out: tuple[Priced, ...]
    currency: str

    @property
    def money(self) -> float:
        return sum(line.money for line in self.lines)


@dataclass(frozen=True)
class Litres:
    """So much of one sealer; price : of its litre, None: the shop's of any."""

    litres: float
    price: float | None = None


def summed(
    used: Iterable[tuple[Priced, float]], shop: Shop, sealers: Iterable[Litres] = ()
) -> Costs | None:
    """None where no price at all was told; sealers : of each price a line of its own."""
    sealed = [*sealers]
    if not any(shop.prices.values()) and not any(one.price for one in sealed):
        return None
    many: dict[tuple[Priced, float | None], float] = {}
    for name, amount in used:
        if amount:
            key = name, shop.prices.get(name)
            many[key] = many.get(key, 0.0) + amount
    for one in sealed:
        if one.litres:
            price = shop.prices.get("sealer_l") if one.price is None else one.price
            many["sealer_l", price] = many.get(("sealer_l", price), 0.0) + one.litres
    return Costs(
        tuple(
            Line(name, amount, price) for (name, price), amount in many.items() if price is not None
        ),
        tuple(name for name, price in many if price is None),
        shop.currency or region.usual_currency(shop.timezone),
    )


def of_amounts(
    found: Amounts, works: Works, shop: Shop, sealers: Sequence[Sealer | None] = ()
) -> Costs | None:
    """Of a piece before it is poured: its bags, its sealers, the usual work on it.

    sealers : the products in their order
    """
    each = (works.pour, works.strip, works.turn, works.finish, works.clean)
    used: list[tuple[Priced, float]] = [
        ("bag", found.bags.whole if found.bags else 0.0),
        *(part for work in each for part in _work(work)),
    ]
    coated = zip((found.coats, *found.then), sealers, strict=False)
    sealed = [Litres(one.sealer_l, of.price_l if of else None) for one, of in coated if one]
    return summed(used, shop, sealed)


def _work(work: Work) -> list[tuple[Priced, float]]:
    return [("hour", work.hours), ("helper_hour", work.hours * (work.hands - 1))]


@dataclass(frozen=True)
class Cast:
    """What was used of a pour by now: bags and litres, the steps done with their hours."""

    pour: Pour
    timezone: str
    bags: float
    sealers: tuple[Litres, ...]
    done: Mapping[str, datetime]
    covers: tuple[ProtectionPeriod, ...]
    works: Works


def of_pour(cast: Cast, shop: Shop, until: datetime) -> Costs | None:
    """Of a pour up to an instant: mix, mould until it was stripped, covers, heat, sealer, work."""
    zone, begun = ZoneInfo(cast.timezone), cast.pour.placed_at
    stripped = min(cast.done.get("strip", until), until)
    works = {"strip": cast.works.strip, "turn": cast.works.turn, "sand": cast.works.finish}
    used: list[tuple[Priced, float]] = [
        ("bag", cast.bags),
        ("mould_day", max((stripped - begun).total_seconds() / 3600 / HOURS_A_DAY, 0.0)),
        *_work(cast.works.pour),
        *(part for step, work in works.items() if step in cast.done for part in _work(work)),
    ]
    for laid in cast.covers:
        ends = min(laid.to_at or until, until)
        used.append(("cover", 1.0))
        used.append(
            ("blanket_night", BLANKETS.get(laid.kind, 0) * nights(laid.from_at, ends, zone))
        )
        if laid.setpoint_C is not None:
            used += heat((ends - laid.from_at).total_seconds() / 3600, shop)
    if cast.pour.closed_why == "lost":
        used.append(("lost_piece", 1.0))
    return summed(used, shop, cast.sealers)


def heat(hours: float, shop: Shop) -> list[tuple[Priced, float]]:
    """Begun days where the shop prices them, else kWh of a heater that runs all the time."""
    if "heat_day" not in shop.prices and shop.heater_kW:
        return [("kWh", max(hours, 0.0) * shop.heater_kW)]
    return [("heat_day", float(ceil(max(hours, 0.0) / HOURS_A_DAY)))]


def nights(begin: datetime, end: datetime, zone: ZoneInfo) -> float:
    """Midnights of the place between two instants."""
    return float(max((end.astimezone(zone).date() - begin.astimezone(zone).date()).days, 0))


def of_trial(found: Tried, wanted: WhatIfRequest, shop: Shop, zone: ZoneInfo) -> Costs | None:
    """What a what-if costs more than the plan as it stands; less than nothing where it saves.

    Days of the mould until the safe hour of stripping, the cover and the heat that are tried, and
    the chance of frost of a lost piece. None without prices, and where stripping has no hour.
    """
    if found.planned is None or found.tried is None:
        return None
    strips = [_strip_at(one) for one in (found.tried, found.planned)]
    known = [at for at in strips if at is not None]
    if len(known) == 1:
        return None  # of one of both there is no hour: nothing to hold it to
    used: list[tuple[Priced, float]] = []
    if len(known) == 2:
        used.append(("mould_day", (known[0] - known[1]).total_seconds() / 3600 / HOURS_A_DAY))
    begin = wanted.from_at or found.made_at
    end = max(wanted.until_at or (known[0] if known else begin), begin)
    if wanted.cover not in (None, NO_COVER):
        used.append(("cover", 1.0))
        used.append(
            ("blanket_night", BLANKETS.get(wanted.cover or "", 0) * nights(begin, end, zone))
        )
    if wanted.heat is not None:
        used += heat((end - begin).total_seconds() / 3600, shop)
    used.append(("lost_piece", found.tried.frost_chance - found.planned.frost_chance))
    return summed(used, shop)


def _strip_at(one: Trial) -> datetime | None:
    return next((s.window.safe for s in one.steps if s.window.step == "strip"), None)
