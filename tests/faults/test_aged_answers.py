"""An answer that cannot be renewed opens nothing once it has aged, and readiness says so."""

from datetime import datetime, timedelta
from typing import NoReturn

import pytest
from starlette.testclient import TestClient

from models.planning import timeline
from scheduler.jobs import Rounds
from service.actions.windows.project_pour import project_pour
from service.store import Store
from tests.support.raw import JsonDict
from tests.support.shop import Hands, Windows
from tests.support.words import tells

HOUR = timedelta(hours=1)
STEPS = {"open": "strip", "closing": "knock-out"}


@pytest.fixture
def told(
    store: Store, pour_id: int, windows: Windows, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> int:
    """A pour told as open and closing, whose reckoning has failed ever since."""
    windows.say("strip", "open", now - HOUR)
    windows.say("knock-out", "closing", now - HOUR, now + 100 * HOUR)
    project_pour(store, now, pour_id)

    def falls(*_: object) -> NoReturn:
        raise ZeroDivisionError

    monkeypatch.setattr(timeline, "project", falls)
    return pour_id


def said(client: TestClient, pour_id: int) -> JsonDict:
    """Steps of the pour by every door of the API: state and reason."""
    direct = client.get(f"/api/v1/pours/{pour_id}/projection").json()["steps"]
    due = [item["step"] for item in client.get("/api/v1/due").json()]
    for step in due:
        assert step in direct
    return {step["step"]: (step["state"], step["reasons"]) for step in direct}


def test_an_answer_three_days_old_is_never_open(
    client: TestClient, told: int, rounds: Rounds, hands: Hands
) -> None:
    assert {state for state, _ in said(client, told).values()} == {"open", "closing"}
    hands.forward(72)
    rounds.deliver(hands.now)
    rounds.project(hands.now)
    for state, reasons in said(client, told).values():
        assert state == "blocked"
        assert reasons[0] == {"code": "stale_days", "values": {"age_days": 3.0}}
    for page in ("/", f"/pours/{told}"):
        text = client.get(page).text
        assert tells(text, "stale_days", age_days="3")
        assert "step open" not in text
    ready = client.get("/readyz")
    assert ready.status_code == 503
    assert ready.json()["windows_are_fresh"] is False


def test_within_its_interval_an_answer_stands(
    client: TestClient, told: int, rounds: Rounds, hands: Hands
) -> None:
    hands.forward(1)
    rounds.deliver(hands.now)
    assert {state for state, _ in said(client, told).values()} == {"open", "closing"}
    assert client.get("/readyz").status_code == 200
    hands.forward(0.5)
    rounds.deliver(hands.now)
    assert {state for state, _ in said(client, told).values()} == {"blocked"}
    assert client.get("/readyz").status_code == 503


def test_what_is_logged_is_kept_and_answered_though_it_cannot_be_reckoned(
    client: TestClient, told: int
) -> None:
    answer = client.post(f"/api/v1/pours/{told}/readings", json={"kind": "air", "value_C": 4.0})
    assert answer.status_code == 201
    assert len(client.get(f"/api/v1/pours/{told}/readings").json()) == 1
