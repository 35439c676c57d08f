"""A pour that is logged long after it was placed."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from tests.support.raw import JsonDict
from tests.support.shop import Bench

API = "/api/v1"


def logged(client: TestClient, bench: Bench, placed_at: datetime) -> JsonDict:
    """The projection of a pour logged now; the weather at hand begins two days ago."""
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    body = {
        "mix_id": bench.mix_id,
        "piece_id": bench.piece_id,
        "place_id": bench.place_id,
        "placed_at": placed_at.isoformat(),
    }
    assert client.post(f"{API}/pours", json=body).status_code == 201
    told: JsonDict = client.get(f"{API}/pours/1/projection").json()
    return told


def test_windows_of_the_past_are_past_or_open_and_owe_no_notice_of_the_past(
    client: TestClient, bench: Bench, now: datetime
) -> None:
    told = logged(client, bench, now - timedelta(hours=44))
    steps = {one["step"]: one for one in told["steps"]}
    assert steps["finish"]["state"] == "past"
    assert steps["strip"]["state"] in ("open", "not yet")
    opens = datetime.fromisoformat(steps["strip"]["earliest"]["p50"])
    assert now - timedelta(hours=44) < opens
    owed = client.get(f"{API}/pours/1/reminders").json()
    assert all(datetime.fromisoformat(one["window_at"]) >= now for one in owed)
    assert not [one for one in owed if one["step"] == "finish"]


@pytest.mark.parametrize("days", [5, 40])
def test_days_without_a_record_are_named_and_open_nothing(
    client: TestClient, bench: Bench, now: datetime, days: int
) -> None:
    told = logged(client, bench, now - timedelta(days=days))
    assert {one["state"] for one in told["steps"]} == {"blocked"}
    assert "no weather at the time of placing" in told["warnings"][0]
    assert "the record runs" in told["warnings"][0]
    assert client.get(f"{API}/pours/1/reminders").json() == []
