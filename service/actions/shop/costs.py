"""What a piece costs by the prices of the shop; what has no price is left out, and named."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from math import ceil
from zoneinfo import ZoneInfo

from models.planning.amounts import Amounts
from models.planning.courses import Work, Works
from models.records import Pour, ProtectionPeriod, Shop
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


def summed(used: Iterable[tuple[Priced, float]], shop: Shop) -> Costs | None:
    """None where the shop told no price at all."""
    if not any(shop.prices.values()):
        return None
    many: dict[Priced, float] = {}
    for name, amount in used:
        if amount:
            many[name] = many.get(name, 0.0) + amount
    priced: Mapping[str, float] = shop.prices
    return Costs(
        tuple(Line(name, amount, priced[name]) for name, amount in many.items() if name in priced),
        tuple(name for name in many if name not in priced),
        shop.currency or region.usual_currency(shop.timezone),
    )


def of_amounts(found: Amounts, works: Works, shop: Shop) -> Costs | None:
    """Of a piece before it is poured: its bags, its sealer, the usual work on it."""
    each = (works.pour, works.strip, works.turn, works.finish, works.clean)
    used: list[tuple[Priced, float]] = [
        ("bag", found.bags.whole if found.bags else 0.0),
        ("sealer_l", sum(one.sealer_l for one in (found.coats, *found.then) if one)),
        *(part for work in each for part in _work(work)),
    ]
    return summed(used, shop)


def _work(work: Work) -> list[tuple[Priced, float]]:
    return [("hour", work.hours), ("helper_hour", work.hours * (work.hands - 1))]


@dataclass(frozen=True)
class Cast:
    """What was used of a pour by now: bags and litres, the steps done with their hours."""

    pour: Pour
    timezone: str
    bags: float
    sealer_l: float
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
        ("sealer_l", cast.sealer_l),
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
    return summed(used, shop)


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
