"""Every route and everybody who may ask: nobody, viewer, helper, owner, machines, who signed out.

`tests/data/who_may.tsv` says by hand who is the least that may, for each route of the program; a
route that is not in it fails. An allowed request to rows that are not there is answered by 404 or
422, never by 401 or 403; a forbidden one always by 401 or 403, or led to the sign-in.
"""

import csv
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from fastapi import APIRouter, FastAPI
from sqlalchemy.exc import TimeoutError as NoneFree
from starlette.testclient import TestClient

from models.records import Person
from service.actions.people import machines, sign_in
from service.queries import people
from service.signed_in import COOKIE
from service.store import Store
from tests.support.shop import Bench

TABLE = Path(__file__).parent.parent / "data" / "who_may.tsv"
RANKS = ("nobody", "viewer", "helper", "owner")
PARTS = {
    "step": "strip",
    "noun": "piece",
    "kind": "reading",
    "action": "remove",
    "name": "no.css",
    "token": "x.ics",
    "code": "nothing",
    "wanted": "nothing",
}


def routes(app: FastAPI) -> Iterator[tuple[str, str]]:
    """Method and address of every route, however deep it is included."""

    def walk(router: APIRouter, before: str) -> Iterator[tuple[str, str]]:
        for route in router.routes:
            inner = getattr(route, "original_router", None)
            if inner is not None:
                yield from walk(inner, before + router.prefix)
            elif hasattr(route, "methods"):
                path = before + route.path  # type: ignore[attr-defined]
                yield from ((one, path) for one in route.methods or ())

    yield from walk(app.router, "")


def told() -> dict[tuple[str, str], str]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return {
            (row["method"], row["route"]): row["least"]
            for row in csv.DictReader(file, delimiter="\t")
        }


def address(route: str) -> str:
    out = route
    for part in route.split("{")[1:]:
        name = part.partition("}")[0]
        out = out.replace("{" + name + "}", PARTS.get(name, "987654"))
    return out


def refused(client: TestClient, method: str, route: str, headers: dict[str, str]) -> bool:
    answer = client.request(method, address(route), headers=headers, follow_redirects=False)
    to_sign_in = answer.headers.get("location", "").startswith("/sign-in")
    return answer.status_code in (401, 403) or (to_sign_in and route != "/sign-out")


@pytest.fixture
def in_as(app: FastAPI, store: Store, now: datetime) -> Callable[[str], TestClient]:
    """A browser of a new person of a role, on another machine; of "nobody" one that is not signed
    in."""
    count = iter(range(100))

    def opened(role: str) -> TestClient:
        far = ("192.168.1.7", 4000)
        client = TestClient(app, client=far, raise_server_exceptions=False)
        if role == "nobody":
            return client
        with store.unit_of_work() as session:
            person = Person(created_at=now, name=f"P{next(count)}", role=role, password_hash="none")
            session.add(person)
            session.flush()
            client.cookies.set(COOKIE, sign_in.begin(session, now, person.id, "a test"))
        return client

    return opened


def test_every_route_is_told_of_and_every_line_is_a_route(app: FastAPI) -> None:
    there = {(method, path) for method, path in routes(app) if method != "HEAD"}
    assert there == set(told())
    assert len(there) > 140


@pytest.mark.parametrize("role", RANKS)
def test_each_role_may_what_the_table_says_and_nothing_else(
    in_as: Callable[[str], TestClient], role: str
) -> None:
    in_as("owner")  # the shop has one, so that all have to sign in
    client, wrong = in_as(role), []
    held = client.cookies.get(COOKIE)
    for (method, route), least in told().items():
        if held:
            client.cookies.set(COOKIE, held)  # signing out is one of them
        if route in ("/sign-out", "/me/everywhere"):
            continue
        may = RANKS.index(role) >= RANKS.index(least)
        if refused(client, method, route, {"accept": "text/html"}) == may:
            wrong.append((method, route, least))
    assert not wrong


def test_who_signed_out_is_nobody(in_as: Callable[[str], TestClient]) -> None:
    client = in_as("owner")
    held = client.cookies.get(COOKIE)
    assert client.get("/").status_code == 200
    client.post("/sign-out")
    client.cookies.set(COOKIE, held or "")  # whoever copied the cookie before
    wrong = [
        (method, route)
        for (method, route), least in told().items()
        if least != "nobody" and not refused(client, method, route, {"accept": "text/html"})
    ]
    assert not wrong


@pytest.mark.parametrize("kind", ["instrument", "screen", "revoked", "made up"])
def test_a_machine_does_its_one_thing(
    in_as: Callable[[str], TestClient], store: Store, now: datetime, bench: Bench, kind: str
) -> None:
    in_as("owner")
    with store.unit_of_work() as session:
        made = machines.let_in(
            session,
            now,
            "Kitchen",
            kind if kind in ("instrument", "screen") else "screen",
            bench.place_id if kind == "instrument" else None,
        )
        if kind == "revoked":
            machines.revoke(session, now, 1)
    token = "nobody made this one" if kind == "made up" else made
    client, wrong = in_as("nobody"), []
    for (method, route), least in told().items():
        may = least == "nobody"  # elsewhere an instrument is nobody
        if kind == "screen":
            may = method == "GET" and least in ("nobody", "viewer")
        headers = {"accept": "text/html", "authorization": f"Bearer {token}"}
        if route.startswith("/static/"):
            continue
        if refused(client, method, route, headers) == may:
            wrong.append((method, route, least))
    assert not wrong


def test_an_instrument_writes_readings_of_its_place_and_of_no_other(
    in_as: Callable[[str], TestClient], store: Store, now: datetime, bench: Bench, pour_id: int
) -> None:
    in_as("owner")
    with store.unit_of_work() as session:
        made = machines.let_in(session, now, "Probe", "instrument", bench.place_id)
    client = in_as("nobody")
    sent = {"kind": "concrete", "value_C": 17.5, "at": (now - timedelta(minutes=5)).isoformat()}
    bearer = {"authorization": f"Bearer {made}"}
    path = f"/api/v1/pours/{pour_id}/readings"
    assert client.post(path, json=sent).status_code == 401
    assert client.get(path, headers=bearer).status_code == 403
    answer = client.post(path, json=sent, headers=bearer)
    assert answer.status_code == 201, answer.text
    with store.unit_of_work() as session:
        elsewhere = machines.let_in(session, now, "Other", "instrument", pour_id=pour_id)
        from models.records import Place, Pour  # noqa: PLC0415

        pour = session.get(Pour, pour_id)
        assert pour is not None
        place = session.get(Place, bench.place_id)
        assert place is not None
        other = Place(**{**place.model_dump(exclude={"id", "name"}), "name": "Elsewhere"})
        session.add(other)
        session.flush()
        pour.place_id = other.id
    assert client.post(path, json=sent, headers=bearer).status_code == 401
    own = {"authorization": f"Bearer {elsewhere}"}
    later = {**sent, "at": (now - timedelta(minutes=4)).isoformat()}
    assert client.post(path, json=later, headers=own).status_code == 201


def test_without_an_owner_this_machine_alone_is_answered(app: FastAPI) -> None:
    here = TestClient(app, base_url="http://127.0.0.1:8000", client=("127.0.0.1", 4000))
    assert here.patch("/api/v1/shop", json={"name": "Ours"}).status_code == 200
    far = TestClient(app, client=("192.168.1.7", 4000))
    assert far.get("/api/v1/shop").status_code == 403
    assert far.get("/", follow_redirects=False).headers["location"] == "/sign-in?then=%2F"
    assert far.get("/healthz").status_code == 200
    refused = far.patch("/api/v1/shop", json={"name": "Theirs"})
    assert refused.status_code == 403
    assert "no owner yet" in refused.text
    proxied = here.patch("/api/v1/shop", json={"name": "X"}, headers={"x-forwarded-for": "9.9.9.9"})
    assert proxied.status_code == 403, "a proxy on this machine lends its address to everybody"
    named = here.patch("/api/v1/shop", json={"name": "X"}, headers={"host": "testserver"})
    assert named.status_code == 403, "so does one that keeps the name it was asked for"
    assert here.get("/api/v1/shop").json()["name"] == "Ours"


@pytest.mark.parametrize("path", ["/", "/shop", "/api/v1/shop", "/pours/1"])
def test_who_cannot_be_looked_up_is_shown_nothing(
    in_as: Callable[[str], TestClient], monkeypatch: pytest.MonkeyPatch, path: str
) -> None:
    """The database is gone for the one question who asks, and there again a moment later."""
    in_as("owner")
    client = in_as("nobody")

    def gone(*_: object) -> None:
        raise NoneFree("no connection is free")

    monkeypatch.setattr(people, "anybody", gone)
    answer = client.get(path, headers={"accept": "text/html"})
    assert answer.status_code == 503
    assert "Retry-After" in answer.headers
