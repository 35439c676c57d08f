"""Other names and writes from another site are refused; every answer carries the safe headers."""

import asyncio
import socket
from dataclasses import replace

import pytest
from fastapi import FastAPI
from sqlalchemy import text
from starlette.testclient import TestClient
from starlette.types import Message, Receive, Scope, Send

from service import machine
from service.app import create_app
from service.bodies import LARGEST_BODY, BodyLimit
from service.middleware import LARGEST_HEAD, OwnHosts
from service.request_context import AppState
from service.settings import Settings
from service.store import Store
from tests.support.once import Routed
from tests.support.raw import JsonDict
from tests.support.shop import Hands, Sky

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
        ({"Sec-Fetch-Site": "same-origin", "Origin": "null"}, 403),
        ({"Sec-Fetch-Site": "none", "Origin": "https://evil.example"}, 403),
        ({"Origin": "http://testserver:8080"}, 403),
        ({"Origin": "http://["}, 403),
    ],
)
def test_only_our_own_pages_may_write(
    client: TestClient, headers: dict[str, str], status: int
) -> None:
    assert client.post(f"{API}/places", json=PLACE, headers=headers).status_code == status
    assert len(client.get(f"{API}/places").json()) == (1 if status == 201 else 0)


def test_the_public_address_is_our_own(
    settings: Settings, store: Store, sky: Sky, hands: Hands, app: FastAPI
) -> None:
    public = replace(settings, public_address="https://yard.example")
    client = TestClient(create_app(public, store, sky, hands))
    answer = client.post(f"{API}/places", json=PLACE, headers={"Origin": "https://yard.example"})
    assert answer.status_code == 201
    assert app is not None


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "ANYTHING"])
def test_no_unsafe_method_is_taken_from_a_strangers_page(client: TestClient, method: str) -> None:
    for headers in ({"Origin": "https://evil.example"}, {"Sec-Fetch-Site": "cross-site"}):
        answer = client.request(method, f"{API}/shop", json={"name": "Theirs"}, headers=headers)
        assert answer.status_code == 403
    assert client.get(f"{API}/shop").json()["name"] == "My shop"


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("testserver", 200),
        ("TestServer.:8000", 200),
        ("localhost:8000", 200),
        ("127.0.0.1", 200),
        ("127.8.8.8:8000", 200),
        ("[::1]:8000", 200),
        ("[::ffff:127.0.0.1]", 200),
        ("yard.example", 200),
        ("yard.lan:8443", 200),
        ("evil.example", 421),
        ("localhost.evil.example", 421),
        ("testserver.evil.example", 421),
        ("evil.example:8000", 421),
        ("203.0.113.7", 421),
        ("192.168.1.5:8000", 421),
        ("[2001:db8::1]", 421),
        ("testserver, evil.example", 421),
        ("evil.example/testserver", 421),
        ("user@testserver", 421),
        ("", 421),
    ],
)
def test_only_our_own_names_are_answered__to_read_or_to_write(
    settings: Settings, app: FastAPI, routed: Routed, host: str, status: int
) -> None:
    """A name that was led here (DNS rebinding) comes with an Origin of the same name."""
    ours: AppState = app.state.castclock
    named = replace(settings, public_address="https://yard.example", hosts="testserver, yard.lan")
    made = create_app(named, ours.store, ours.weather, ours.clock)
    client = TestClient(routed.with_state_of(made))
    own = {"Host": host, "Origin": f"http://{host}", "Sec-Fetch-Site": "same-origin"}
    for path in ("/", f"{API}/shop", "/healthz", "/static/castclock.css"):
        assert client.get(path, headers={"Host": host}).status_code == status
    written = client.patch(f"{API}/shop", json={"name": "Theirs"}, headers=own)
    assert written.status_code == status
    posted = client.post("/shop", data={"name": "Theirs"}, headers=own)
    assert (posted.status_code == 421) is (status == 421)
    name = client.get(f"{API}/shop").json()["name"]
    assert name == ("Theirs" if status == 200 else "My shop")


def test_a_host_given_twice_is_none_of_ours() -> None:
    answers: list[int] = []

    async def send(message: Message) -> None:
        answers.append(message.get("status", 0))

    scope = {
        "type": "http",
        "method": "GET",
        "path": "/",
        "headers": [(b"host", b"testserver"), (b"host", b"evil.example")],
    }
    guard = OwnHosts(None, {"testserver"})  # type: ignore[arg-type]
    asyncio.run(guard(scope, None, send))  # type: ignore[arg-type]
    assert answers[0] == 421


def test_listening_everywhere_the_machine_knows_its_name_and_the_address_asked_at(
    settings: Settings,
) -> None:
    everywhere = replace(settings, host="0.0.0.0")
    assert socket.gethostname().lower() in machine.own_names(everywhere)
    assert socket.gethostname().lower() not in machine.own_names(settings)
    asked: list[int] = []

    async def inner(_scope: Scope, _receive: Receive, _send: Send) -> None:
        asked.append(200)

    async def send(message: Message) -> None:
        asked.append(message.get("status", 0))

    guard = OwnHosts(inner, machine.own_names(everywhere))
    for host in (b"192.0.2.7:8000", b"192.0.2.8:8000"):
        scope = {
            "type": "http",
            "method": "GET",
            "path": "/",
            "headers": [(b"host", host)],
            "server": ("192.0.2.7", 8000),
        }
        asyncio.run(guard(scope, None, send))  # type: ignore[arg-type]
    assert asked[:2] == [200, 421]


def test_a_browser_is_refused_by_a_page_and_a_program_by_a_problem(client: TestClient) -> None:
    foreign = {"Host": "evil.example", "Accept": "text/html"}
    page = client.get("/", headers=foreign)
    assert page.headers["content-type"].startswith("text/html")
    assert "CASTCLOCK_HOSTS" in page.text
    refused = client.get(f"{API}/shop", headers=foreign).json()
    assert (refused["status"], refused["errors"][0]["field"]) == (421, "Host")


def test_every_answer_carries_the_safe_headers(client: TestClient, store: Store) -> None:
    answers = [
        client.get("/healthz"),
        client.get("/nowhere"),
        client.get(f"{API}/places"),
        client.get("/shop"),
        client.get("/", headers={"Host": "evil.example"}),
        client.post("/shop", headers={"Origin": "https://evil.example"}),
    ]
    with store.unit_of_work() as session:
        session.connection().execute(text("DROP TABLE shop"))
    answers.append(client.get("/shop"))
    assert answers[-1].status_code == 500
    for response in answers:
        policy = response.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "base-uri 'none'" in policy
        assert "form-action 'self'" in policy
        assert "unsafe" not in policy
        assert response.headers["x-content-type-options"] == "nosniff"
        assert response.headers["x-frame-options"] == "DENY"
        assert response.headers["cross-origin-resource-policy"] == "same-origin"
        assert response.headers["cross-origin-opener-policy"] == "same-origin"
        assert response.headers["referrer-policy"] == "same-origin"
        assert "geolocation=(self)" in response.headers["permissions-policy"]


@pytest.mark.parametrize(
    ("path", "headers"),
    [
        ("/healthz", {"X-Note": LARGEST_HEAD * "x"}),
        ("/healthz", {f"X-{k}": 1000 * "x" for k in range(33)}),
        ("/healthz?" + LARGEST_HEAD * "x", {}),
    ],
)
def test_a_head_of_100_kB_is_refused(
    client: TestClient, path: str, headers: dict[str, str]
) -> None:
    answer = client.get(path, headers=headers)
    assert answer.status_code == 431
    assert answer.json()["errors"][0]["allowed"] == "at most 32000 bytes with the address"
    assert answer.headers["connection"] == "close"
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_a_reader_from_anywhere_may_read(client: TestClient) -> None:
    assert client.get("/healthz", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200


@pytest.mark.parametrize(("stated", "sent"), [(9 * LARGEST_BODY, 9), (900 * LARGEST_BODY, 0)])
def test_a_photo_too_large_is_read_to_its_end_so_that_the_refusal_arrives(
    stated: int, sent: int
) -> None:
    """A connection closed on a sender that still sends is reset (RFC 9112 9.6), unanswered."""
    left, answers = [*range(9)], []

    async def receive() -> JsonDict:
        left.pop()
        return {"type": "http.request", "body": LARGEST_BODY * b" ", "more_body": bool(left)}

    async def send(message: Message) -> None:
        answers.append((message.get("status"), 9 - len(left)))

    scope = {
        "type": "http",
        "method": "POST",
        "path": "/pours/1/steps",
        "headers": [(b"content-length", str(stated).encode())],
    }
    asyncio.run(BodyLimit(None)(scope, receive, send))  # type: ignore[arg-type]
    assert answers[0] == (413, sent)
