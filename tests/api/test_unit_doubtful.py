"""A figure that only makes sense in another unit is not stored until it is confirmed."""

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from tests.support.shop import Bench, Hands, Sky

API = "/api/v1"


@pytest.fixture
def frosty(client: TestClient, bench: Bench, sky: Sky) -> None:
    """A forecast of hard frost is at hand."""
    sky.air_C = -4.0
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201


def doubted(told: Response, field: str, other: float) -> None:
    assert told.status_code == 409, told.text
    problem = told.json()
    assert problem["code"] == "unit_doubtful"
    (error,) = [one for one in problem["errors"] if one["field"] == field]
    assert error["code"] == "unit_doubtful"
    assert error["other_unit_value"] == pytest.approx(other, abs=0.06)
    assert error["other_unit"] in ("degF", "in")
    assert "confirm" in error["allowed"]


@pytest.mark.usefixtures("frosty")
def test_a_night_in_degf_against_the_forecast_at_hand_is_asked_about(
    client: TestClient, bench: Bench
) -> None:
    path = f"{API}/places/{bench.place_id}/weather/typed"
    pair = {"night_low_C": 20, "day_high_C": 34}
    doubted(client.post(path, json=pair), "day_high_C", 1.1)
    runs = client.get(f"{API}/places/{bench.place_id}/weather").json()["runs"]
    assert not any(run["typed"] for run in runs)
    assert client.post(path, json={**pair, "confirm": True}).status_code == 201
    assert client.post(path, json={"night_low_C": "20 F", "day_high_C": "34 F"}).status_code == 201


@pytest.mark.usefixtures("frosty")
def test_tonight_is_not_answered_on_a_doubtful_night(client: TestClient, bench: Bench) -> None:
    asked = {
        "mix_id": bench.mix_id,
        "piece_id": bench.piece_id,
        "place_id": bench.place_id,
        "night_low_C": 20,
        "day_high_C": 34,
    }
    doubted(client.post(f"{API}/tonight", json=asked), "night_low_C", -6.7)
    assert client.post(f"{API}/tonight", json={**asked, "confirm": True}).status_code == 200


def test_without_a_forecast_place_and_season_are_the_witness(
    client: TestClient, bench: Bench, hands: Hands
) -> None:
    hands.forward(24 * 41)  # 24 November
    path = f"{API}/places/{bench.place_id}/weather/typed"
    doubted(client.post(path, json={"night_low_C": 20, "day_high_C": 34}), "day_high_C", 1.1)
    assert client.post(path, json={"night_low_C": -7, "day_high_C": 1}).status_code == 201
    hands.forward(24 * 230)  # July
    assert client.post(path, json={"night_low_C": 20, "day_high_C": 34}).status_code == 201


@pytest.mark.usefixtures("frosty")
def test_readings_in_degf_are_asked_about_and_cold_ones_are_not(
    client: TestClient, pour_id: int
) -> None:
    path = f"{API}/pours/{pour_id}/readings"
    doubted(client.post(path, json={"kind": "air", "value_C": 27}), "value_C", -2.8)
    doubted(client.post(path, json={"kind": "concrete", "value_C": 60}), "value_C", 15.6)
    assert client.get(path).json() == []
    for value in (-15, -4, 3):  # far off is kept; only another unit is asked about
        assert client.post(path, json={"kind": "air", "value_C": value}).status_code == 201
    warm = client.post(path, json={"kind": "concrete", "value_C": 60, "confirm": True})
    assert warm.status_code == 201


@pytest.mark.usefixtures("frosty")
def test_a_mix_of_fifty_degrees_in_frost_is_asked_about(client: TestClient, bench: Bench) -> None:
    rows = {"mix_id": bench.mix_id, "piece_id": bench.piece_id, "place_id": bench.place_id}
    doubted(client.post(f"{API}/pours", json=rows | {"concrete_C": 50}), "concrete_C", 10.0)
    told = client.post(f"{API}/pours", json=rows | {"concrete_C": 15})
    assert told.status_code == 201
    path = f"{API}/pours/{told.json()['id']}"
    doubted(client.patch(path, json={"concrete_C": 50}), "concrete_C", 10.0)
    assert client.patch(path, json={"concrete_C": 50, "confirm": True}).status_code == 200


def test_a_piece_of_sixty_millimetres_is_asked_about(client: TestClient) -> None:
    piece = {
        "name": "Table",
        "shape": "panel",
        "length_mm": 60,
        "width_mm": 600,
        "thickness_mm": 38,
    }
    doubted(client.post(f"{API}/pieces", json=piece), "length_mm", 1524.0)
    assert client.get(f"{API}/pieces").json() == []
    told = client.post(f"{API}/pieces", json=piece | {"length_mm": "60 in"})
    assert told.status_code == 201
    small = client.post(f"{API}/pieces", json=piece | {"name": "Tile", "confirm": True})
    assert small.status_code == 201
