"""The plan of a pour through the API: put, kept, obeyed, taken back."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from tests.support.raw import JsonDict
from tests.support.shop import Bench

API = "/api/v1"


@pytest.fixture
def logged(client: TestClient, bench: Bench) -> int:
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    names = ("mix_id", "piece_id", "place_id", "mould_id", "sealer_id")
    body = {name: getattr(bench, name) for name in names} | {"concrete_C": 15.0}
    return int(client.post(f"{API}/pours", json=body).json()["id"])


def planned(client: TestClient, pour_id: int) -> dict[str, JsonDict]:
    told = client.get(f"{API}/pours/{pour_id}/projection").json()["plan"]
    return {one["step"]: one for one in told}


def test_a_step_is_moved_and_moved_back(client: TestClient, logged: int) -> None:
    usual = planned(client, logged)
    assert usual["strip"]["set_by"] == "default"
    later = datetime.fromisoformat(usual["strip"]["at"]) + timedelta(days=2)
    answer = client.put(
        f"{API}/pours/{logged}/plan", json={"plan": [{"step": "strip", "at": later.isoformat()}]}
    )
    assert answer.status_code == 200, answer.text
    assert [one["step"] for one in answer.json()["plan"]] == ["strip"]
    moved = planned(client, logged)
    assert moved["strip"]["set_by"] == "maker"
    assert datetime.fromisoformat(moved["strip"]["at"]) == later
    assert datetime.fromisoformat(moved["turn"]["at"]) >= later
    client.put(f"{API}/pours/{logged}/plan", json={"plan": []})
    assert planned(client, logged) == usual


def test_the_printed_plan_is_taken_as_it_was_printed(client: TestClient, logged: int) -> None:
    printed = client.get(f"{API}/pours/{logged}/projection").json()
    answer = client.put(f"{API}/pours/{logged}/plan", json={"plan": printed["plan"]})
    assert answer.status_code == 200, answer.text
    again = client.get(f"{API}/pours/{logged}/projection").json()
    hours = [
        [(step["step"], step["earliest"], step["latest"]) for step in told["steps"]]
        for told in (printed, again)
    ]
    assert hours[0] == hours[1]


@pytest.mark.parametrize(
    ("act", "field"),
    [
        ({"step": "walk"}, "plan[0].step"),
        ({"step": "cover", "cover": "duvet"}, "plan[0].cover"),
        ({"step": "cover", "cover": "heated enclosure"}, "plan[0].heat"),
        ({"step": "cover", "cover": "heated enclosure", "heat": 70.0}, "plan[0].heat"),
        ({"step": "uncover", "cover": "foam"}, "plan[0].cover"),
        ({"step": "strip", "set_by": "nobody"}, "plan[0].set_by"),
        ({"step": "strip", "at": "2020-01-01T00:00:00+00:00"}, "plan[0].at"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(
    client: TestClient, logged: int, act: JsonDict, field: str
) -> None:
    usual = planned(client, logged)
    soon = {"at": usual["strip"]["at"]}
    answer = client.put(f"{API}/pours/{logged}/plan", json={"plan": [soon | act]})
    assert answer.status_code == 422, answer.text
    problem = answer.json()
    assert field in str(problem)
    assert planned(client, logged) == usual


def test_the_plan_of_a_pour_that_is_not_there(client: TestClient) -> None:
    assert client.put(f"{API}/pours/999/plan", json={"plan": []}).status_code == 404
