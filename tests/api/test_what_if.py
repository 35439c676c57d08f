"""What if, asked by a program: the answer as planned and as tried, and nothing is stored."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from starlette.testclient import TestClient

from models.air.series import AirSeries
from tests.support.raw import JsonDict
from tests.support.shop import Bench, Hands, Sky

API = "/api/v1"


class ColdNights(Sky):
    """Days of 9 degC, nights of -5."""

    def forecast(self, latitude: float, longitude: float, now: datetime, *_: object) -> AirSeries:
        air = super().forecast(latitude, longitude, now)
        hour = np.arange(len(air.air_C)) + air.start.hour
        swing = 7.0 * np.sin(2 * np.pi * (hour - 15) / 24)
        return replace(air, air_C=2.0 + swing, dew_point_C=swing - 2.0)


@pytest.fixture
def sky() -> Sky:
    return ColdNights()


@pytest.fixture
def logged(client: TestClient, bench: Bench) -> int:
    """A pour in a hard frost, bare so far."""
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    names = ("mix_id", "piece_id", "place_id", "mould_id", "sealer_id")
    body = {name: getattr(bench, name) for name in names} | {"concrete_C": 15.0}
    return int(client.post(f"{API}/pours", json=body).json()["id"])


def tried(client: TestClient, pour_id: int, **wanted: object) -> JsonDict:
    answer = client.post(f"{API}/pours/{pour_id}/what-if", json=wanted)
    assert answer.status_code == 200, answer.text
    found: JsonDict = answer.json()
    return found


def test_nothing_tried_is_the_projection_itself(client: TestClient, logged: int) -> None:
    told = {
        one["step"]: one for one in client.get(f"{API}/pours/{logged}/projection").json()["steps"]
    }
    found = tried(client, logged)
    assert found["planned"] == found["tried"]
    assert {one["step"] for one in found["tried"]["steps"]} == {"strip", "turn", "end-wet-cure"}
    for one in found["tried"]["steps"]:
        assert one["earliest"] == told[one["step"]]["earliest"], one["step"]
        assert (one["state"], one["level"]) == (
            told[one["step"]]["state"],
            told[one["step"]]["level"],
        )
    alerts = client.get(f"{API}/pours/{logged}/projection").json()["alerts"]
    frost = next(one for one in alerts if one["kind"] == "frost")
    assert found["tried"]["frost_chance"] == pytest.approx(frost["chance"], abs=0.01)


def test_a_tent_with_heat_saves_it_and_brings_strip_earlier(
    client: TestClient, logged: int
) -> None:
    found = tried(client, logged, cover="heated enclosure", heat=20.0)
    planned, warm = found["planned"], found["tried"]
    assert planned["frost_chance"] > 0.5 > 0.1 > warm["frost_chance"]
    assert warm["lowest_C"] > planned["lowest_C"] + 5
    assert warm["steps"][0]["earliest"]["safe"] < planned["steps"][0]["earliest"]["safe"]
    assert [one["cover"] for one in found["plan"]] == ["heated enclosure"]
    kept = client.get(f"{API}/pours/{logged}").json()
    assert kept.get("plan", []) == []


def test_an_hour_too_early_says_its_chance(client: TestClient, logged: int, now: datetime) -> None:
    at = now + timedelta(hours=12)
    steps = {
        one["step"]: one for one in tried(client, logged, strip_at=at.isoformat())["tried"]["steps"]
    }
    strip = steps["strip"]
    assert (strip["set_by"], datetime.fromisoformat(strip["meant_at"])) == ("maker", at)
    assert strip["chance_then"] < strip["level"]
    assert datetime.fromisoformat(strip["earliest"]["safe"]) > at


def test_the_plan_it_gives_is_taken_and_then_it_is_the_plan(
    client: TestClient, logged: int, now: datetime
) -> None:
    at = now + timedelta(minutes=10)
    wanted = {"cover": "two blankets", "faces": "all", "from": at.isoformat()}
    found = tried(client, logged, **wanted)
    answer = client.put(f"{API}/pours/{logged}/plan", json={"plan": found["plan"]})
    assert answer.status_code == 200, answer.text
    again = tried(client, logged)
    assert again["planned"]["steps"] == found["tried"]["steps"]
    # what is only meant lowers no risk, until it is tried or laid
    assert again["planned"]["frost_chance"] > found["tried"]["frost_chance"] + 0.1
    bare = tried(client, logged, cover="none")
    assert bare["plan"] == []
    assert (
        bare["tried"]["steps"][0]["earliest"]["safe"]
        > found["tried"]["steps"][0]["earliest"]["safe"]
    )


def test_another_mix_moves_the_hours(client: TestClient, logged: int) -> None:
    quick = client.post(f"{API}/mixes", json={"name": "Quick", "class": "rapid-setting"}).json()
    found = tried(client, logged, mix_id=quick["id"])
    assert (
        found["tried"]["steps"][0]["earliest"]["safe"]
        < found["planned"]["steps"][0]["earliest"]["safe"]
    )


def test_without_weather_nothing_is_told_to_be_safe(client: TestClient, pour_id: int) -> None:
    found = tried(client, pour_id, cover="blanket")
    assert found["missing"]["code"]
    for side in ("planned", "tried"):
        assert found[side] == {"steps": [], "frost_chance": None, "lowest_C": None}


@pytest.mark.parametrize(
    ("wanted", "field"),
    [
        ({"cover": "duvet"}, "cover"),
        ({"cover": "heated enclosure"}, "heat"),
        ({"heat": 20.0}, "step"),  # no walls about it
        ({"cover": "blanket", "faces": "left"}, "faces"),
        ({"strip_at": "2020-01-01T00:00:00+00:00"}, "strip_at"),
        ({"cover": "blanket", "from": "2020-01-01T00:00:00+00:00"}, "from"),
        ({"acts": [{"step": "walk", "at": "2026-10-15T00:00:00+00:00"}]}, "acts[0].step"),
        ({"mix_id": 999}, "mix_id"),
        ({"blanket": 1}, "blanket"),
    ],
)
def test_what_cannot_be_names_the_field(
    client: TestClient, logged: int, wanted: JsonDict, field: str
) -> None:
    answer = client.post(f"{API}/pours/{logged}/what-if", json=wanted)
    assert answer.status_code == 422, answer.text
    assert field in [one["field"].removeprefix("body.") for one in answer.json()["errors"]]


def test_of_a_pour_that_is_not_there_or_closed(client: TestClient, logged: int) -> None:
    assert client.post(f"{API}/pours/999/what-if", json={}).status_code == 404
    client.post(f"{API}/pours/{logged}/close", json={"why": "lost"})
    assert client.post(f"{API}/pours/{logged}/what-if", json={}).status_code == 409


def test_what_was_logged_since_counts_at_once(
    client: TestClient, logged: int, hands: Hands
) -> None:
    before = tried(client, logged)
    hands.forward(0.02)
    client.post(f"{API}/pours/{logged}/protections", json={"kind": "two blankets"})
    after = tried(client, logged)
    assert after["planned"]["frost_chance"] < before["planned"]["frost_chance"]
