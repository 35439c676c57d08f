"""What a way to pour costs: days of the mould, and money once the shop has its prices."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta

from babel.numbers import format_currency

from models.message import Message
from models.records import Shop
from service.actions.record.parts import Cost, CostLine
from service.actions.shop.costs import BLANKETS, Costs, Line
from service.answers import PourOptionResponse
from service.region import usual_currency
from service.words import Reader, say, spelt, word

DAY, HALF_DAY, HOUR = timedelta(days=1), timedelta(hours=12), timedelta(hours=1)
LEAST_RISK = 0.01  # of what a way costs, to be worth a word
ROUND_FROM = 10.0  # a dearer way is told without cents


@dataclass(frozen=True)
class Prices:
    """By PRICED, in a currency of ISO 4217; empty: the shop told none."""

    of: Mapping[str, float] = field(default_factory=dict)
    currency: str = ""
    heater_kW: float | None = None

    @classmethod
    def of_shop(cls, shop: Shop) -> "Prices":
        return cls(shop.prices, shop.currency or usual_currency(shop.timezone), shop.heater_kW)

    def of_way(self, option: PourOptionResponse) -> float | None:
        """Days of the mould, each cover laid once and its nights, each begun day of heating or its
        kWh; None where it cannot be stripped within two weeks, or without prices."""
        if option.strip_p90 is None or not any(self.of.values()):
            return None
        told = option.protection_code.message.values.get("cover")
        laid = told if isinstance(told, Message) else None
        heated = laid is not None and "setpoint_C" in str(laid.values)
        heat = option.strip_p90 - (option.heat_from or option.start)
        warmed = heated or option.indoors
        by_kWh = "heat_day" not in self.of and self.heater_kW is not None
        kind = "" if laid is None else str(laid.values.get("cover"))
        spent = {
            "mould_day": (option.strip_p90 - option.start) / DAY,
            "cover": float(laid is not None),
            "heat_day": -(-heat // DAY) if warmed and not by_kWh else 0.0,
            "kWh": heat / HOUR * (self.heater_kW or 0.0) if warmed and by_kWh else 0.0,
            "blanket_night": BLANKETS.get(kind, 0)
            * (option.strip_p90.date() - option.start.date()).days,
        }
        return sum(self.of.get(name, 0.0) * many for name, many in spent.items())

    def words(self, option: PourOptionResponse, reader: Reader) -> str:
        """`1.5 days in the mould, about $34`; the days alone without prices."""
        if option.strip_p90 is None:
            return ""
        halves = max(round((option.strip_p90 - option.start) / HALF_DAY), 1)
        days = {1: "half a day", 2: "1 day"}.get(halves, f"{halves / 2:g} days")
        money = self.of_way(option)
        if money is None:
            return say(Message("price_days", {"days": days}), reader)
        told = in_money(money, self.currency, reader)
        said = say(Message("price_money", {"days": days, "money": told}), reader)
        risk = self.of.get("lost_piece", 0.0) * (option.frost_chance or 0.0)
        if risk < LEAST_RISK * money:
            return said
        at_risk = in_money(risk, self.currency, reader)
        return f"{said}; {say(Message('price_risk', {'money': at_risk}), reader)}"


NO_PRICES = Prices()


def in_money(money: float, currency: str, reader: Reader) -> str:
    """As its reader writes it, dearer things without cents."""
    whole = abs(money) >= ROUND_FROM
    return str(
        format_currency(
            round(money, 0 if whole else 2),
            currency,
            format="\u00a4#,##0" if whole else None,
            locale=reader.locale,
            currency_digits=not whole,
        )
    )


def difference(costs: Costs | None, reader: Reader) -> str:
    """That something costs more, or saves; nothing where it does neither."""
    if costs is None or abs(costs.money) < 0.005:
        return ""
    code = "price_more" if costs.money > 0 else "price_saves"
    told = in_money(abs(costs.money), costs.currency, reader)
    return say(Message(code, {"money": told}), reader)


def cost_rows(costs: Costs | Cost, reader: Reader) -> tuple[list[tuple[str, str, str]], str]:
    """Each line with its money and how it comes about, the sum last; and what is left out."""

    def told(money: float) -> str:
        return in_money(money, costs.currency, reader)

    def line(one: Line | CostLine) -> tuple[str, str, str]:
        many = f"{one.many:.1f}".removesuffix(".0")
        return named(one.what), told(one.money), f"{many} at {told(one.price)}"

    def named(what: str) -> str:
        return spelt(word("priced", what, reader), reader)

    rows = [line(one) for one in costs.lines]
    left = ", ".join(named(what).lower() for what in costs.left_out)
    return [*rows, ("Together", told(costs.money), "")], f"Without a price: {left}." if left else ""
