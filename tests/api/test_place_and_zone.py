"""A place keeps the clock of where it is."""

from datetime import UTC, datetime

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from models.records import Place, Pour
from scheduler.jobs import Rounds
from service.actions.shop.set_up_shop import change_shop, save_place
from service.queries.rows import find, find_shop
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
    client: TestClient, store: Store, bench: Bench, pour_id: int, rounds: Rounds, now: datetime
) -> None:
    with store.unit_of_work() as session:
        place, pour = find(session, Place, bench.place_id), find(session, Pour, pour_id)
        place.timezone = "UTC"
        pour.poured = pour.poured | {"place": pour.poured["place"] | {"timezone": "UTC"}}
        session.add_all([place, pour])
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201

    def warned() -> bool:
        warnings = client.get(f"{API}/pours/{pour_id}/projection").json()["warnings"]
        return any("does not fit its longitude" in text for text in warnings)

    assert warned()
    kept = client.get(f"{API}/places/{bench.place_id}").json()
    asked = {name: kept[name] for name in ("name", "kind", "latitude", "longitude")}
    mended = client.put(f"{API}/places/{bench.place_id}", json=asked | {"timezone": None})
    assert mended.json()["timezone"] == "America/Chicago"
    rounds.project(now)  # as the clock does within the minute
    assert not warned()


def test_the_clock_of_the_shop_goes_along_to_what_stands_in_a_place_without_coordinates(
    client: TestClient, store: Store, bench: Bench, now: datetime
) -> None:
    with store.unit_of_work() as session:
        shed = save_place(session, now, {"name": "Shed", "kind": "covered"})
        shop = find_shop(session)
        shed.timezone = shop.timezone
        session.add(shed)
    asked = {"piece_id": bench.piece_id, "mix_id": bench.mix_id, "place_id": shed.id}
    key = client.post(f"{API}/pours", json=asked | {"placed_at": now.isoformat()}).json()["id"]
    with store.unit_of_work() as session:
        change_shop(session, now, {"timezone": "America/Denver"})
    assert client.get(f"{API}/pours/{key}/record").json()["timezone"] == "America/Denver"


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
