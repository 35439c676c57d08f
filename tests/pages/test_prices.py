"""A way to pour is told with its days of the mould, and with money once the shop has prices."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import pytest
from sqlmodel import select
from starlette.testclient import TestClient

from models.message import Message
from models.records import Shop
from service.answer_fields import MessageResponse
from service.pages.prices import Prices
from service.region import usual_currency
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
    frost_chance: float | None = None


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


def test_nights_kWh_and_the_chance_of_a_lost_piece_count_where_they_have_a_price() -> None:
    nights = Prices({"blanket_night": 2.0}, "USD")
    assert nights.of_way(BLANKET) == pytest.approx(2.0 * 2)  # type: ignore[arg-type]
    by_kWh = Prices({"kWh": 0.3}, "USD", heater_kW=2.0)
    assert by_kWh.of_way(TENT) == pytest.approx(42 * 2.0 * 0.3)  # type: ignore[arg-type]
    assert replace(by_kWh, of={"kWh": 0.3, "heat_day": 9.0}).of_way(TENT) == 18.0  # type: ignore[arg-type]
    risky = replace(BARE, frost_chance=0.1)
    told = Prices({"mould_day": 10.0, "lost_piece": 400.0}, "USD").words(risky, AMERICAN)  # type: ignore[arg-type]
    assert "$40" in told


def test_the_record_sums_the_piece_and_names_what_has_no_price(
    phone: Phone, poured: str, client: TestClient
) -> None:
    record = poured.replace("/pours", "/api/v1/pours") + "/record"
    assert client.get(record).json()["cost"] is None
    prices = {"bag": 9.0, "hour": 40.0}
    client.patch("/api/v1/shop", json={"currency": "EUR", "prices": prices})
    client.post(f"/api/v1{poured}/batches", json={"bags": 3})
    cost = client.get(record).json()["cost"]
    lines = {one["what"]: one for one in cost["lines"]}
    assert lines["bag"]["money"] == pytest.approx(27.0)
    assert lines["hour"]["money"] == pytest.approx(lines["hour"]["many"] * 40.0)
    assert cost["money"] == pytest.approx(sum(one["money"] for one in cost["lines"]))
    page = phone.open(f"{poured}/record")
    assert "What it cost" in page.text
    assert "€27" in page.text


def test_the_record_counts_each_coat_by_its_own_product(poured: str, client: TestClient) -> None:
    """A densifier that covers a quarter of what the wax over it does costs four times as much."""
    keys = [
        client.post("/api/v1/sealers", json=row).json()["id"]
        for row in (
            {"name": "Hard", "chemistry": "densifier", "coats": 1, "coverage_m2_l": 5.0},
            {"name": "Wax", "chemistry": "wax", "coats": 2, "coverage_m2_l": 20.0},
        )
    ]
    pour = poured.replace("/pours", "/api/v1/pours")
    told = client.patch(pour, json={"sealer_id": keys[0], "sealer_then": [keys[1]]})
    assert told.status_code == 200, told.text
    client.patch("/api/v1/shop", json={"currency": "EUR", "prices": {"sealer_l": 40.0}})
    at = datetime.fromisoformat(client.get(pour).json()["placed_at"])
    long_ago = (at - timedelta(days=40)).isoformat()
    assert client.patch(pour, json={"placed_at": long_ago}).status_code == 200
    litres = []
    for number in (1, 2, 3):
        day = (at + timedelta(days=-10 + number)).isoformat()
        done = client.post(f"{pour}/steps/coat-{number}/done", json={"at": day})
        assert done.status_code == 201, done.text
        (line,) = client.get(f"{pour}/record").json()["cost"]["lines"]
        assert (line["what"], line["price"]) == ("sealer_l", 40.0)
        litres.append(line["many"])
    assert litres[1] == pytest.approx(litres[0] * 1.25)
    assert litres[2] == pytest.approx(litres[0] * 1.5)


def test_each_product_costs_its_own_price_a_litre_else_that_of_the_shop(
    poured: str, phone: Phone, client: TestClient
) -> None:
    rows: list[dict[str, object]] = [
        {"name": "Hard", "chemistry": "densifier", "coats": 1, "coverage_m2_l": 5.0},
        {"name": "Wax", "chemistry": "wax", "coats": 1, "coverage_m2_l": 20.0, "price_l": 90},
    ]
    keys = [client.post("/api/v1/sealers", json=row).json()["id"] for row in rows]
    wrong = client.post("/api/v1/sealers", json={**rows[1], "name": "No", "price_l": -1})
    assert wrong.status_code == 422
    assert wrong.json()["errors"][0]["field"] == "price_l"
    query = f"sealer_id={keys[0]}&sealer_then={keys[1]}&mix_id=1"
    amounts = f"/api/v1/pieces/1/amounts?{query}"

    def lines() -> dict[float, float]:
        told = client.get(amounts).json()["costs"]["lines"]
        return {one["price"]: one["many"] for one in told if one["what"] == "sealer_l"}

    assert [*lines()] == [90.0], "the shop told none, and the wax has its own"
    client.patch("/api/v1/shop", json={"currency": "EUR", "prices": {"sealer_l": 30.0}})
    found = lines()
    assert found[30.0] == pytest.approx(4 * found[90.0])
    form = phone.open(f"/shop/sealer/{keys[1]}").form(f"/shop/sealer/{keys[1]}")
    assert form.fields["sealer.price_l"] == ["90"]
    phone.send(form, sealer__price_l="")
    assert [*lines()] == [30.0]
    assert poured


def test_a_what_if_says_what_it_costs_more(poured: str, client: TestClient) -> None:
    wanted = {"cover": "blanket"}
    before = client.post(f"/api/v1{poured}/what-if", json=wanted).json()
    assert before["costs_more"] is None
    client.patch("/api/v1/shop", json={"prices": {"cover": 5.0, "lost_piece": 0.0}})
    assert client.post(f"/api/v1{poured}/what-if", json=wanted).json()["costs_more"] == 5.0
    client.patch("/api/v1/shop", json={"prices": {"mould_day": 1000.0}})
    found = client.post(f"/api/v1{poured}/what-if", json=wanted).json()
    strips = [
        datetime.fromisoformat(
            next(s["earliest"]["safe"] for s in one["steps"] if s["step"] == "strip")
        )
        for one in (found["tried"], found["planned"])
    ]
    days = (strips[0] - strips[1]) / timedelta(days=1)
    assert found["costs_more"] == pytest.approx(1000.0 * days, abs=0.01)
    assert found["costs_more"] < 0  # the warmer piece leaves the mould sooner


def test_a_piece_is_priced_before_it_is_poured_with_the_mixer_of_the_shop(
    phone: Phone, client: TestClient, poured: str
) -> None:
    assert poured
    form = phone.open("/shop/settings").form("/shop")
    phone.send(form, **{"mixer_l": "20 l", "scale_g": "5 g", "price.hour": "40"})
    told = client.get("/api/v1/pieces/1/amounts").json()
    assert told["batches"]["each_l"] <= 20.0
    weighed = [row["kg"] / 0.005 for row in told["batches"]["card"]]
    assert weighed == pytest.approx([round(steps) for steps in weighed])
    assert told["costs"]["left_out"]
    assert "It costs" in phone.open("/pieces/1/amounts").text
