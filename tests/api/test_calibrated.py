"""What a place and a mix have taught is told, cannot be typed, and can be forgotten."""

from datetime import datetime

import pytest
from starlette.testclient import TestClient

from models.records import Mix, Place
from service.store import Store
from tests.support.shop import Bench

API = "/api/v1"
OF_PLACE = {
    "learned_lag_h": 7.2,
    "learned_lag_spread": 0.3,
    "learned_offset_K": 3.1,
    "learned_offset_sd_K": 0.8,
}
OF_MIX = {
    "learned_strength_factor": 0.87,
    "learned_strength_sd": 0.08,
    "learned_set_factor": 1.2,
    "learned_set_sd": 0.1,
}


@pytest.fixture
def calibrated(store: Store, bench: Bench, now: datetime) -> Bench:
    with store.unit_of_work() as session:
        for row, values in (
            (session.get(Place, bench.place_id), OF_PLACE),
            (session.get(Mix, bench.mix_id), OF_MIX),
        ):
            assert row is not None
            for name, value in {**values, "learned_from_count": 6, "learned_at": now}.items():
                setattr(row, name, value)
            session.add(row)
    return bench


@pytest.mark.usefixtures("calibrated")
@pytest.mark.parametrize(("path", "numbers"), [("places", OF_PLACE), ("mixes", OF_MIX)])
def test_it_is_told_and_forgotten(client: TestClient, path: str, numbers: dict[str, float]) -> None:
    told = client.get(f"{API}/{path}/1").json()
    assert {name: told[name] for name in numbers} == numbers
    assert told["learned_from_count"] == 6
    answer = client.post(f"{API}/{path}/1/forget")
    assert answer.status_code == 200
    assert {answer.json()[name] for name in numbers} == {None}
    assert client.get(f"{API}/{path}/1").json() == answer.json()
    assert client.post(f"{API}/{path}/99/forget").status_code == 404


def test_what_forecasts_were_off_is_told_by_lead(
    client: TestClient, store: Store, bench: Bench
) -> None:
    assert client.get(f"{API}/places/1").json()["learned_forecast"] is None
    seen = {
        "from_h": 24.0,
        "to_h": 48.0,
        "days": 41,
        "bias_K": 0.7,
        "factor": 1.1,
        "seen_bias_K": 1.2,
        "seen_sd_K": 1.9,
        "inside_80": 0.8,
    }
    with store.unit_of_work() as session:
        place = session.get(Place, bench.place_id)
        assert place is not None
        place.learned_forecast = [seen]
    assert client.get(f"{API}/places/1").json()["learned_forecast"] == [seen]
    client.post(f"{API}/places/1/forget")
    assert client.get(f"{API}/places/1").json()["learned_forecast"] is None


@pytest.mark.usefixtures("calibrated")
def test_it_cannot_be_typed(client: TestClient) -> None:
    place = {"name": "Carport", "kind": "covered", "learned_offset_K": 9.0}
    answer = client.put(f"{API}/places/1", json=place)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["field"] == "learned_offset_K"
    assert client.get(f"{API}/places/1").json()["learned_offset_K"] == 3.1
