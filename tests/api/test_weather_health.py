"""The weather services one by one, in the API and on the shop's page, and whose credit stands."""

from datetime import datetime

import pytest
from fastapi import FastAPI
from httpx2 import Response
from starlette.testclient import TestClient

from models.air.series import AirSeries
from models.errors import WeatherUnavailable
from service.app import create_app
from service.settings import Settings
from service.store import Store
from service.weather.chain import Chain
from service.weather.health import OPENS_AFTER, Watched
from tests.support.once import Routed
from tests.support.shop import Bench, Hands, Sky

API = "/api/v1"


class Second:
    """The service that is asked when the first fails."""

    def __init__(self, sky: Sky) -> None:
        self.name, self.attribution = "MET Norway", "Data from MET Norway (CC BY 4.0)"
        self.down = ""
        self._sky = sky

    def forecast(
        self, latitude: float, longitude: float, now: datetime, _altitude_m: float | None = None
    ) -> AirSeries:
        if self.down:
            raise WeatherUnavailable(self.name, self.down, 900.0)
        air: AirSeries = self._sky.forecast(latitude, longitude, now)
        object.__setattr__(air, "source", "MET Norway forecast")
        return air


class First(Second):
    def __init__(self, sky: Sky) -> None:
        super().__init__(sky)
        self.name, self.attribution = "Open-Meteo", "Weather data by Open-Meteo.com (CC BY 4.0)"

    def forecast(
        self, latitude: float, longitude: float, now: datetime, _altitude_m: float | None = None
    ) -> AirSeries:
        air = super().forecast(latitude, longitude, now)
        object.__setattr__(air, "source", "Open-Meteo forecast")
        return air


@pytest.fixture
def first(sky: Sky) -> First:
    return First(sky)


@pytest.fixture
def second(sky: Sky) -> Second:
    return Second(sky)


@pytest.fixture
def app(
    settings: Settings,
    store: Store,
    hands: Hands,
    bench: Bench,
    first: First,
    second: Second,
    routed: Routed,
) -> FastAPI:
    del bench
    services = {
        "open-meteo": Watched(first, "api.open-meteo.example"),
        "met-norway": Watched(second, "api.met.example"),
    }
    chain = Chain(services, ("open-meteo", "met-norway"))
    return routed.with_state_of(create_app(settings, store, chain, hands))


def refresh(client: TestClient) -> Response:
    return client.post(f"{API}/places/1/weather/refresh")


def test_each_service_says_how_it_does_and_each_place_when_it_is_next(
    client: TestClient, first: First, hands: Hands
) -> None:
    before = client.get(f"{API}/health").json()
    assert [one["state"] for one in before["services"]] == ["not asked yet"] * 2
    first.down = "status 503"
    for _ in range(OPENS_AFTER):
        assert refresh(client).status_code == 201
    told = client.get(f"{API}/health").json()
    at = hands.now.isoformat().replace("+00:00", "Z")
    assert told["services"][0] == {
        "provider": "Open-Meteo",
        "host": "api.open-meteo.example",
        "state": "failing",
        "last_success": None,
        "last_failure": at,
        "words": "status 503",
        "failures": OPENS_AFTER,
        "remark": "",
        "next_try_at": told["services"][0]["next_try_at"],
    }
    assert told["services"][0]["next_try_at"] > at
    assert (told["services"][1]["state"], told["services"][1]["last_success"]) == ("fine", at)
    (place,) = told["places"]
    assert (place["place_id"], place["failure"], place["succeeded_at"]) == (1, "", at)
    assert place["next_try_at"] > at


def test_all_of_them_down_is_told_with_every_reason(
    client: TestClient, first: First, second: Second
) -> None:
    first.down, second.down = "status 503", "no answer in time"
    response = refresh(client)
    assert response.status_code == 503
    assert "Open-Meteo: status 503; MET Norway: no answer in time" in response.text
    (place,) = client.get(f"{API}/health").json()["places"]
    assert "status 503" in place["failure"]


def test_the_shop_page_says_it_in_words(
    client: TestClient, first: First, second: Second, hands: Hands
) -> None:
    assert "not asked yet" in client.get("/shop/settings").text
    refresh(client)
    first.down, second.down = "status 503", "no answer in time"
    hands.forward(0.5)
    for _ in range(OPENS_AFTER):
        refresh(client)
    text = " ".join(client.get("/shop/settings").text.split())
    assert "<b>Open-Meteo</b>: <b>▲ failing, 5 in a row</b>" in text
    assert "Answered 30 min ago." in text
    assert "Gave none 1 min ago: status 503." in text
    assert "Not asked before" in text, text[text.index("<h2>Weather") :][:900]
    assert "Carport: <b>■ none at the last try</b>, now: no service answered" in text


def test_the_credit_of_whoever_answered_stands_beside_the_numbers(
    client: TestClient, first: First
) -> None:
    first.down = "status 503"
    run = refresh(client).json()
    assert (run["provider"], run["attribution"]) == (
        "MET Norway forecast",
        "Data from MET Norway (CC BY 4.0)",
    )
    listed = client.get(f"{API}/places/1/weather").json()["runs"]
    assert listed[0]["attribution"] == "Data from MET Norway (CC BY 4.0)"
    assert client.get(f"{API}/weather-runs/{run['id']}").json()["attribution"] == run["attribution"]
    asked = {"mix_id": 1, "piece_id": 1, "place_id": 1}
    tonight = client.post(f"{API}/tonight", json=asked).json()
    assert tonight["weather_source"] == "MET Norway forecast"
    assert tonight["weather_attribution"] == "Data from MET Norway (CC BY 4.0)"
    page = client.get("/tonight?place_id=1").text
    assert "Open-Meteo" not in page


def test_two_typed_numbers_need_no_credit(client: TestClient) -> None:
    typed = {"night_low_C": 2, "day_high_C": 11}
    run = client.post(f"{API}/places/1/weather/typed", json=typed).json()
    assert run["attribution"] == ""


def test_a_pour_under_weather_of_two_services_credits_both(
    client: TestClient, first: First, hands: Hands
) -> None:
    refresh(client)
    first.down = "status 503"
    hands.forward(1)
    refresh(client)
    at = hands.now.isoformat()
    pour = {"mix_id": 1, "piece_id": 1, "place_id": 1, "placed_at": at}
    made = client.post(f"{API}/pours", json=pour)
    assert made.status_code == 201, made.text
    for address in (f"/pours/{made.json()['id']}", "/"):
        page = client.get(address).text
        assert "Weather data by Open-Meteo.com (CC BY 4.0) Data from MET Norway" in page or (
            "Data from MET Norway (CC BY 4.0) Weather data by Open-Meteo.com" in page
        )
        assert "MET Norway forecast" in page
