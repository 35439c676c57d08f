"""Writes from another site are refused; every answer carries the safe headers."""

from dataclasses import replace
from typing import Any

import pytest
from starlette.testclient import TestClient

from service.app import create_app

API = "/api/v1"
PLACE = {"name": "Yard", "kind": "open yard"}


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 201),
        ({"Sec-Fetch-Site": "same-origin"}, 201),
        ({"Sec-Fetch-Site": "none"}, 201),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"Origin": "http://testserver"}, 201),
        ({"Origin": "https://evil.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Origin": "http://testserver"}, 403),
    ],
)
def test_only_our_own_pages_may_write(
    client: TestClient, headers: dict[str, str], status: int
) -> None:
    assert client.post(f"{API}/places", json=PLACE, headers=headers).status_code == status
    assert len(client.get(f"{API}/places").json()) == (1 if status == 201 else 0)


def test_the_public_address_is_our_own(
    settings: Any, store: Any, sky: Any, hands: Any, app: Any
) -> None:
    public = replace(settings, public_address="https://yard.example")
    client = TestClient(create_app(public, store, sky, hands))
    answer = client.post(f"{API}/places", json=PLACE, headers={"Origin": "https://yard.example"})
    assert answer.status_code == 201
    assert app is not None


def test_every_answer_carries_the_safe_headers(client: TestClient) -> None:
    for response in (client.get("/healthz"), client.get("/nowhere"), client.get(f"{API}/places")):
        policy = response.headers["content-security-policy"]
        assert "frame-ancestors 'none'" in policy
        assert "unsafe-inline" not in policy
        assert response.headers["x-content-type-options"] == "nosniff"


def test_a_reader_from_anywhere_may_read(client: TestClient) -> None:
    assert client.get("/healthz", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200
