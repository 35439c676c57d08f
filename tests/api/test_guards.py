"""Writes from another site are refused; every answer carries the safe headers."""

import asyncio
from dataclasses import replace
from typing import Any

import pytest
from starlette.testclient import TestClient

from service.app import create_app
from service.guards import LARGEST_BODY, BodyLimit

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


@pytest.mark.parametrize(("stated", "sent"), [(9 * LARGEST_BODY, 9), (900 * LARGEST_BODY, 0)])
def test_a_photo_too_large_is_read_to_its_end_so_that_the_refusal_arrives(
    stated: int, sent: int
) -> None:
    """A connection closed on a sender that still sends is reset (RFC 9112 9.6), unanswered."""
    left, answers = [*range(9)], []

    async def receive() -> dict[str, Any]:
        left.pop()
        return {"type": "http.request", "body": LARGEST_BODY * b" ", "more_body": bool(left)}

    async def send(message: Any) -> None:
        answers.append((message.get("status"), 9 - len(left)))

    scope = {"type": "http", "method": "POST", "path": "/pours/1/steps",
             "headers": [(b"content-length", str(stated).encode())]}  # fmt: skip
    asyncio.run(BodyLimit(None)(scope, receive, send))  # type: ignore[arg-type]
    assert answers[0] == (413, sent)
