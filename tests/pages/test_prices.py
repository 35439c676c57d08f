"""A way to pour is told with its days of the mould, and with money once the shop has prices."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import pytest
from sqlmodel import select
from starlette.testclient import TestClient

from models.message import Message
from models.records import Shop
from service.answer_fields import MessageResponse
from service.pages.prices import Prices, usual_currency
from service.store import Store
from service.words import Reader
from tests.support.phone import Phone

BEGIN = datetime(2026, 10, 14, 18, tzinfo=UTC)
BRITISH, AMERICAN = Reader("Europe/London"), Reader("America/Chicago", language="en-US")


@dataclass(frozen=True)
class Option:
    """Of a way what its price rests on."""

    protection_code: MessageResponse
    start: datetime = BEGIN
    strip_p90: datetime | None = BEGIN + timedelta(hours=42)
    heat_from: datetime | None = None
    indoors: bool = False


def way(cover: Message | None = None) -> Option:
    told = Message("way", {} if cover is None else {"cover": cover})
    return Option(MessageResponse(code=told.code, values=dict(told.values)))


BARE = way()
BLANKET = way(Message("cover", {"cover": "blanket"}))
TENT = way(Message("cover_at", {"cover": "heated enclosure", "setpoint_C": 15.0}))
PRICES = Prices({"mould_day": 12.0, "cover": 3.0, "heat_day": 9.0}, "USD")


@pytest.mark.parametrize(
    ("option", "money"),
    [
        (BARE, 12.0 * 1.75),
        (BLANKET, 12.0 * 1.75 + 3.0),
        (TENT, 12.0 * 1.75 + 3.0 + 2 * 9.0),  # 42 h begin a second day of heat
        (replace(TENT, heat_from=BEGIN - timedelta(hours=8)), 12.0 * 1.75 + 3.0 + 3 * 9.0),
        (replace(BARE, indoors=True), 12.0 * 1.75 + 2 * 9.0),
    ],
)
def test_a_way_costs_its_days_its_cover_and_its_heat(option: Option, money: float) -> None:
    assert PRICES.of_way(option) == pytest.approx(money)  # type: ignore[arg-type]


def test_without_prices_the_days_are_told_alone() -> None:
    assert Prices().words(BARE, BRITISH) == "2 days in the mould"  # type: ignore[arg-type]
    never = replace(BARE, strip_p90=None)
    assert PRICES.words(never, BRITISH) == ""  # type: ignore[arg-type]


def test_money_is_told_as_its_reader_writes_it() -> None:
    cheap = Prices({"cover": 2.5}, "USD")
    told = [one.words(BLANKET, AMERICAN) for one in (PRICES, cheap)]  # type: ignore[arg-type]
    assert told == [
        "2 days in the mold, costs about $24",
        "2 days in the mold, costs about $2.50",
    ]


def test_the_currency_is_that_of_the_country_of_the_clock() -> None:
    """Unicode CLDR, by Babel."""
    zones = ("America/Chicago", "Europe/Stockholm", "Europe/Berlin", "UTC")
    assert [usual_currency(zone) for zone in zones] == ["USD", "SEK", "EUR", "USD"]


@pytest.mark.usefixtures("poured")
def test_prices_of_the_settings_stand_on_the_ways(phone: Phone, store: Store) -> None:
    asked = phone.send(phone.open("/tonight").form("/tonight"))
    assert "in the mould" in asked.text
    assert "costs about" not in asked.text
    form = phone.open("/shop/settings").form("/shop")
    phone.send(form, **{"currency": "eur", "price.mould_day": "10", "price.cover": "2.5"})
    with store.reading() as session:
        shop = session.exec(select(Shop)).one()
    assert (shop.currency, shop.prices) == ("EUR", {"mould_day": 10.0, "cover": 2.5})
    asked = phone.send(phone.open("/tonight").form("/tonight"))
    assert "costs about €" in asked.text


@pytest.mark.parametrize(
    ("field", "typed", "named"),
    [("currency", "dollars", "currency"), ("price.cover", "-3", "cover")],
)
def test_no_currency_and_no_price_are_refused_by_name(
    phone: Phone, store: Store, field: str, typed: str, named: str
) -> None:
    page = phone.send(phone.open("/shop/settings").form("/shop"), **{field: typed})
    assert phone.status == 422
    assert named in page.text
    with store.reading() as session:
        assert session.exec(select(Shop)).one().prices == {}


def test_a_script_sets_prices(client: TestClient) -> None:
    answer = client.patch("/api/v1/shop", json={"currency": "SEK", "prices": {"mould_day": 80}})
    assert answer.json()["prices"] == {"mould_day": 80.0}
    assert client.patch("/api/v1/shop", json={"currency": "XX1"}).status_code == 422
    assert client.patch("/api/v1/shop", json={"prices": {"beer": 1}}).status_code == 422
