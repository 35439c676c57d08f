"""A place keeps the clock of where it is."""

from datetime import UTC, datetime

import pytest
from httpx2 import Response
from sqlmodel import Session
from starlette.testclient import TestClient

from models.records import Place
from service.queries.rows import find
from service.store import Store
from tests.support.raw import JsonDict
from tests.support.shop import Bench, Hands

API = "/api/v1"
HERE = {"name": "Yard", "kind": "open yard", "latitude": 44.0, "longitude": -92.0}


def test_a_place_without_a_zone_takes_it_from_its_position(client: TestClient) -> None:
    assert client.post(f"{API}/places", json=HERE).json()["timezone"] == "America/Chicago"
    south = {**HERE, "name": "South", "latitude": -33.9, "longitude": 151.2}
    assert client.post(f"{API}/places", json=south).json()["timezone"] == "Australia/Sydney"


@pytest.mark.parametrize(
    "more",
    [
        {"timezone": "Asia/Tokyo"},
        {"timezone": "UTC"},
        {"timezone": "America/Chicago", "longitude": 92.0},
    ],
)
def test_a_zone_hours_off_the_longitude_is_refused_with_both_named(
    client: TestClient, more: JsonDict
) -> None:
    told = client.post(f"{API}/places", json=HERE | more)
    assert told.status_code == 422
    (error,) = told.json()["errors"]
    assert error["field"] == "timezone"
    assert "longitude" in error["wrong"]
    assert client.get(f"{API}/places").json() == []


def test_moving_a_place_over_the_sea_is_refused_until_its_zone_goes_along(
    client: TestClient, bench: Bench
) -> None:
    kept = client.get(f"{API}/places/{bench.place_id}").json()
    asked = {name: kept[name] for name in ("name", "kind", "latitude", "timezone")}
    moved = client.put(f"{API}/places/{bench.place_id}", json=asked | {"longitude": 16.4})
    assert moved.status_code == 422
    again = client.put(
        f"{API}/places/{bench.place_id}", json=asked | {"longitude": 16.4, "timezone": None}
    )
    assert again.status_code == 200
    assert again.json()["timezone"].startswith("Europe/")


def test_the_page_of_a_new_place_asks_about_a_zone_that_does_not_fit(client: TestClient) -> None:
    form = {
        "place.kind": "open yard",
        "place.latitude": "44",
        "place.longitude": "92",
        "place.timezone": "America/Chicago",
    }
    told = client.post("/shop/place/new", data=form)
    assert told.status_code == 422
    assert "off the sun at longitude 92" in told.text
    assert 'value="America/Chicago"' in told.text


def test_a_machine_on_utc_makes_no_place_of_utc(client: TestClient) -> None:
    form = {
        "place.kind": "open yard",
        "place.latitude": "44",
        "place.longitude": "-92",
        "place.timezone": "Etc/UTC",
    }
    told = client.post("/shop/place/new", data=form, follow_redirects=False)
    assert told.status_code == 303, told.text
    (place,) = client.get(f"{API}/places").json()
    assert place["timezone"] == "America/Chicago"


def test_a_place_of_before_is_warned_of(
    client: TestClient, store: Store, bench: Bench, pour_id: int
) -> None:
    def shift(session: Session) -> None:
        place = find(session, Place, bench.place_id)
        place.timezone = "UTC"
        session.add(place)

    with store.unit_of_work() as session:
        shift(session)
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    warnings = client.get(f"{API}/pours/{pour_id}/projection").json()["warnings"]
    assert any("does not fit its longitude" in text for text in warnings)


def test_steps_are_marked_in_the_order_of_the_trade(
    client: TestClient, pour_id: int, hands: Hands
) -> None:
    begin = hands.now
    hands.forward(72)

    def mark(step: str, after_h: float) -> Response:
        at = begin.timestamp() + 3600 * after_h
        path = f"{API}/pours/{pour_id}/steps/{step}/done"
        return client.post(path, json={"at": _iso(at)})

    assert mark("strip", 40).status_code == 201
    early = mark("turn", 30)
    assert early.status_code == 422
    assert early.json()["errors"][0]["wrong"] == "turn before strip"
    assert mark("turn", 41).status_code == 201
    assert mark("sand", 30).status_code == 422
    late = mark("finish", 41)
    assert late.status_code == 422
    assert late.json()["errors"][0]["field"] == "at"


def _iso(stamp: float) -> str:
    return datetime.fromtimestamp(stamp, UTC).isoformat()
