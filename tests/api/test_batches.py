"""Batches of a pour: written down one by one, refused with the reason, told in the record."""

from datetime import datetime, timedelta

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from tests.support.raw import JsonDict


def sent(client: TestClient, pour_id: int, **values: object) -> Response:
    return client.post(f"/api/v1/pours/{pour_id}/batches", json=values)


def test_batches_are_kept_in_their_order_and_stand_in_the_record(
    client: TestClient, pour_id: int, now: datetime
) -> None:
    for minutes, bags in ((20, 2.0), (50, 3.0)):
        at = (now - timedelta(minutes=minutes)).isoformat()
        made = sent(client, pour_id, at=at, bags=bags, water_l="6.3 qt", concrete_C="64 F")
        assert made.status_code == 201, made.text
    told = client.get(f"/api/v1/pours/{pour_id}/batches").json()
    assert [one["bags"] for one in told] == [3.0, 2.0]
    assert told[0]["water_l"] == pytest.approx(5.962, abs=1e-3)
    record = client.get(f"/api/v1/pours/{pour_id}/record").json()
    assert [one["bags"] for one in record["batches"]] == [3.0, 2.0]
    assert ",batch," in client.get(f"/api/v1/pours/{pour_id}/record.csv").text
    assert client.delete(f"/api/v1/batches/{told[0]['id']}").status_code == 204
    assert len(client.get(f"/api/v1/pours/{pour_id}/batches").json()) == 1


def test_the_same_key_makes_one_batch(client: TestClient, pour_id: int) -> None:
    for _ in range(2):
        made = client.post(
            f"/api/v1/pours/{pour_id}/batches", json={"bags": 2}, headers={"Idempotency-Key": "one"}
        )
        assert made.status_code == 201
    assert len(client.get(f"/api/v1/pours/{pour_id}/batches").json()) == 1


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({}, "bags"),
        ({"bags": 0}, "bags"),
        ({"water_l": -1}, "water_l"),
        ({"concrete_C": 80}, "concrete_C"),
        ({"bags": 2, "at": "2030-01-01T00:00:00Z"}, "at"),
        ({"bags": 2, "at": "2026-10-01T00:00:00Z"}, "at"),
    ],
)
def test_a_batch_that_cannot_be_is_refused_by_its_field(
    client: TestClient, pour_id: int, values: JsonDict, field: str
) -> None:
    answer = sent(client, pour_id, **values)
    assert answer.status_code == 422
    assert field in answer.text
    assert client.get(f"/api/v1/pours/{pour_id}/batches").json() == []
