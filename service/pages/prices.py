"""What a way to pour costs: days of the mould, and money once the shop has its prices."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta

from babel.numbers import format_currency, get_territory_currencies

from models.message import Message
from models.records import Shop
from service import region
from service.answers import PourOptionResponse
from service.words import Reader, say

DAY, HALF_DAY = timedelta(days=1), timedelta(hours=12)
ROUND_FROM = 10.0  # a dearer way is told without cents


@dataclass(frozen=True)
class Prices:
    """By PRICED, in a currency of ISO 4217; empty: the shop told none."""

    of: Mapping[str, float] = field(default_factory=dict)
    currency: str = ""

    @classmethod
    def of_shop(cls, shop: Shop) -> "Prices":
        return cls(shop.prices, shop.currency or usual_currency(shop.timezone))

    def of_way(self, option: PourOptionResponse) -> float | None:
        """Days of the mould, each cover laid once, each begun day of heating; None where it cannot
        be stripped within two weeks, or without prices."""
        if option.strip_p90 is None or not any(self.of.values()):
            return None
        told = option.protection_code.message.values.get("cover")
        laid = told if isinstance(told, Message) else None
        heated = laid is not None and "setpoint_C" in str(laid.values)
        heat = option.strip_p90 - (option.heat_from or option.start)
        spent = {
            "mould_day": (option.strip_p90 - option.start) / DAY,
            "cover": float(laid is not None),
            "heat_day": -(-heat // DAY) if heated or option.indoors else 0.0,
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
        told = format_currency(
            round(money, 0 if money >= ROUND_FROM else 2),
            self.currency,
            format="\u00a4#,##0" if money >= ROUND_FROM else None,
            locale=reader.locale,
            currency_digits=money < ROUND_FROM,
        )
        return say(Message("price_money", {"days": days, "money": told}), reader)


NO_PRICES = Prices()


def usual_currency(timezone: str) -> str:
    """The currency of the country of a zone; dollars where the zone tells no country."""
    found = get_territory_currencies(region.country_of(timezone) or "US")
    return str(found[0]) if found else "USD"
