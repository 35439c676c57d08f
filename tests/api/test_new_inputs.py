"""Heated hours, what heats, humidity, bags, water and board: told by the API and kept."""

import pytest
from starlette.testclient import TestClient

from tests.support.raw import JsonDict
from tests.support.shop import Bench

API = "/api/v1"
ROOM = {
    "name": "Back room",
    "kind": "heated room",
    "latitude": 44.0,
    "longitude": -92.0,
    "timezone": "America/Chicago",
    "setpoint_C": 18,
    "heated_from": "07:00",
    "heated_to": "18:00",
    "heater": "vented",
    "hollow": "a little",
    "looks": "south",
}


def test_a_room_tells_when_it_is_heated_and_by_what(client: TestClient) -> None:
    told = client.post(f"{API}/places", json=ROOM)
    assert told.status_code == 201, told.text
    kept = client.get(f"{API}/places/{told.json()['id']}").json()
    assert (kept["hollow"], kept["looks"]) == ("a little", "south")
    assert (kept["heated_from"], kept["heated_to"], kept["heater"]) == (
        "07:00:00",
        "18:00:00",
        "vented",
    )


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"heated_to": None}, "heated_to"),
        ({"heater": "stove"}, "heater"),
        ({"hollow": "deep"}, "hollow"),
        ({"looks": "up"}, "looks"),
        ({"heated_to": "07:00"}, "heated_from"),
        ({"kind": "covered", "heated_from": None, "heated_to": None}, "heater"),
    ],
)
def test_heating_that_cannot_be_is_refused_by_name(
    client: TestClient, change: JsonDict, field: str
) -> None:
    told = client.post(f"{API}/places", json=ROOM | change)
    assert told.status_code == 422, told.text
    assert told.json()["errors"][0]["field"] == field


def test_a_tent_tells_what_heats_it(client: TestClient, pour_id: int) -> None:
    body = {"kind": "heated enclosure", "setpoint_C": 15, "heater": "unvented"}
    told = client.post(f"{API}/pours/{pour_id}/protections", json=body)
    assert told.status_code == 201, told.text
    assert told.json()["heater"] == "unvented"
    wrong = client.post(
        f"{API}/pours/{pour_id}/protections", json={"kind": "blanket", "heater": "electric"}
    )
    assert wrong.status_code == 422
    assert wrong.json()["errors"][0]["field"] == "heater"


def test_the_covers_of_a_shop_keep_their_heater(client: TestClient) -> None:
    tent = {"kind": "heated enclosure", "setpoint_C": 15, "heater": "electric"}
    told = client.patch(f"{API}/shop", json={"covers": [tent]})
    assert told.status_code == 200, told.text
    assert told.json()["covers"][0]["heater"] == "electric"


def test_humidity_is_read_in_percent_and_counts_for_the_place(
    client: TestClient, bench: Bench, pour_id: int
) -> None:
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    told = client.post(f"{API}/pours/{pour_id}/readings", json={"kind": "humidity", "rh_pct": 85})
    assert told.status_code == 201, told.text
    assert told.json()["rh_pct"] == 85
    (read,) = client.get(f"{API}/pours/{pour_id}/record").json()["readings"]
    assert (read["kind"], read["rh_pct"], read["value_C"]) == ("humidity", 85, None)
    assert "85" in client.get(f"{API}/pours/{pour_id}/record.csv").text
    assert "humidity of the air: 85 %" in client.get(f"/pours/{pour_id}").text
    assert "humidity of the air" in client.get(f"/pours/{pour_id}/record").text


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"kind": "humidity"}, "rh_pct"),
        ({"kind": "humidity", "rh_pct": 140}, "rh_pct"),
        ({"kind": "humidity", "value_C": 85}, "value_C"),
        ({"kind": "air", "value_C": 4, "rh_pct": 85}, "rh_pct"),
    ],
)
def test_humidity_that_cannot_be_is_refused_by_name(
    client: TestClient, pour_id: int, body: JsonDict, field: str
) -> None:
    told = client.post(f"{API}/pours/{pour_id}/readings", json=body)
    assert told.status_code == 422, told.text
    assert told.json()["errors"][0]["field"] == field


def test_bags_water_and_board_are_kept_with_the_pour_and_asked_about_tonight(
    client: TestClient, bench: Bench
) -> None:
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    rows = {"mix_id": bench.mix_id, "piece_id": bench.piece_id, "place_id": bench.place_id}
    warm = {"bag_C": 4, "water_C": "120 F", "board_C": -2}
    told = client.post(f"{API}/pours", json=rows | warm)
    assert told.status_code == 201, told.text
    assert told.json()["water_C"] == pytest.approx(48.89, abs=0.01)
    kept = client.get(f"{API}/pours/{told.json()['id']}").json()
    assert (kept["bag_C"], kept["board_C"]) == (4, -2)
    changed = client.patch(f"{API}/pours/{kept['id']}", json={"board_C": None})
    assert changed.json()["board_C"] is None
    assert client.post(f"{API}/tonight", json=rows | warm).status_code == 200
    wrong = client.post(f"{API}/pours", json=rows | {"bag_C": 90})
    assert wrong.json()["errors"][0]["field"] == "bag_C"
