"""Locked, full, read-only or gone: come again, nothing typed is lost, and readyz says so."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from datetime import datetime

import pytest
from sqlalchemy import event, text
from sqlalchemy.exc import DBAPIError
from starlette.testclient import TestClient

from scheduler.jobs import Rounds
from service.actions.people.join import invite_owner
from service.actions.shop.set_up_shop import open_shop
from service.app import create_app
from service.settings import Settings
from service.store import Store
from service.store import engine as stores
from tests.support.phone import Phone
from tests.support.shop import Hands, Sky

API = "/api/v1"
HTML = {"Accept": "text/html,*/*"}


@contextmanager
def locked(store: Store, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Another program holds the writer's lock."""
    monkeypatch.setattr(stores, "BUSY_MS", 50)
    store.close()
    with closing(sqlite3.connect(str(store.engine.url.database), isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield
        other.execute("ROLLBACK")


@contextmanager
def opened_with(store: Store, pragma: str) -> Iterator[None]:
    def limit(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute(pragma)

    store.close()
    event.listen(store.engine, "connect", limit)
    yield
    event.remove(store.engine, "connect", limit)
    store.close()


@contextmanager
def read_only(store: Store, _monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with opened_with(store, "PRAGMA query_only = ON"):
        yield


@contextmanager
def full(store: Store, _monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """No page more than there are, and those are taken: SQLite answers as on a full disk."""
    with store.unit_of_work() as session:
        session.connection().execute(text("CREATE TABLE filler (words TEXT)"))
    with opened_with(store, "PRAGMA max_page_count = 1"):
        filled = False
        while not filled:
            try:
                with store.unit_of_work() as session:
                    session.connection().execute(text("INSERT INTO filler VALUES ('x')"))
                    session.connection().execute(
                        text("INSERT INTO filler SELECT words FROM filler")
                    )
            except DBAPIError:
                filled = True
        yield


TROUBLES = [locked, read_only]


@pytest.mark.parametrize("trouble", [*TROUBLES, full])
def test_a_program_is_told_to_come_again_and_nothing_is_half_stored(
    client: TestClient,
    store: Store,
    monkeypatch: pytest.MonkeyPatch,
    trouble: Callable[..., AbstractContextManager[None]],
) -> None:
    place = {"name": "Yard", "kind": "open yard", "timezone": "America/Chicago"}
    refused = 0
    with trouble(store, monkeypatch):
        for k in range(40):  # the last free bytes of a page may take a row or two
            answer = client.post(f"{API}/places", json={**place, "name": f"{k} {'x' * 100}"})
            refused = answer.status_code
            if refused != 201:
                break
        stored = len(client.get(f"{API}/places").json())  # reading goes on
    assert refused == 503
    assert int(answer.headers["retry-after"]) > 0
    assert answer.json()["errors"][0]["field"] == "database"
    assert len(client.get(f"{API}/places").json()) == stored == k
    assert client.post(f"{API}/places", json=place).status_code == 201


@pytest.mark.parametrize("trouble", TROUBLES)
def test_a_maker_keeps_what_was_typed_and_sends_it_again(
    phone: Phone,
    client: TestClient,
    store: Store,
    monkeypatch: pytest.MonkeyPatch,
    trouble: Callable[..., AbstractContextManager[None]],
) -> None:
    form = phone.open("/shop/mould/new").form("/shop/mould/new")
    with trouble(store, monkeypatch):
        page = phone.send(form, mould__name='Bench "<mould>"', mould__thickness_mm="3/4 in")
        assert phone.status == 503
        assert "Nothing of it was stored" in page.text
        again = page.form("/shop/mould/new", "Send it again")
        assert again.fields["mould.name"] == ['Bench "<mould>"']
        page = phone.send(again)
        assert phone.status == 503
        again = page.form("/shop/mould/new", "Send it again")
    for _ in range(2):  # an impatient finger
        phone.send(again)
        assert (phone.status, phone.path) == (200, "/shop")
    (mould,) = client.get(f"{API}/moulds").json()
    assert mould["name"] == 'Bench "<mould>"'
    assert mould["thickness_mm"] == pytest.approx(19.05)


@pytest.mark.parametrize("trouble", TROUBLES)
def test_a_secret_that_was_typed_is_on_no_page_and_is_typed_again(
    phone: Phone,
    store: Store,
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
    trouble: Callable[..., AbstractContextManager[None]],
) -> None:
    with store.unit_of_work() as session:
        link = f"/join/{invite_owner(session, now)}"
    form = phone.open(link).form(link)
    with trouble(store, monkeypatch):
        page = phone.send(form, name="Owner", password="three dry words")
        assert phone.status == 503
        assert "three dry" not in page.source
        again = page.form(link, "Send it again")
    assert (again.fields["name"], again.fields["password"]) == (["Owner"], [""])
    phone.send(again, password="three dry words")
    assert (phone.status, phone.path) == (200, "/")


@pytest.mark.parametrize("trouble", TROUBLES)
def test_it_is_not_ready_while_it_can_not_write(
    client: TestClient,
    store: Store,
    rounds: Rounds,
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
    trouble: Callable[..., AbstractContextManager[None]],
) -> None:
    rounds.deliver(now)
    assert client.get("/readyz").status_code == 200
    with trouble(store, monkeypatch):
        answer = client.get("/readyz")
        assert (answer.status_code, answer.json()["ready"]) == (503, False)
        assert answer.json()["database_takes_writes"] is False
        assert client.get("/healthz").status_code == 200
    assert client.get("/readyz").status_code == 200


def test_it_is_not_ready_when_the_disk_has_no_room_left(
    client: TestClient, rounds: Rounds, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    rounds.deliver(now)
    free = shutil.disk_usage("/")._replace(free=1_000_000)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: free)
    assert client.get("/readyz").json()["database_takes_writes"] is False


@pytest.fixture
def phone(client: TestClient) -> Phone:
    return Phone(client)


@pytest.fixture
def without_server(settings: Settings, sky: Sky, hands: Hands) -> TestClient:
    """The application when PostgreSQL has gone: nobody listens at its port."""
    gone = Store("postgresql://castclock@127.0.0.1:9/shop?connect_timeout=2")
    return TestClient(create_app(settings, gone, sky, hands), raise_server_exceptions=False)


def test_a_database_server_that_is_gone_is_no_fault_of_the_program(
    without_server: TestClient,
) -> None:
    assert without_server.get("/readyz").json()["ready"] is False
    for path in (f"{API}/places", f"{API}/shop"):
        answer = without_server.get(path)
        assert (answer.status_code, answer.headers["retry-after"]) == (503, "10")
    page = without_server.get("/shop", headers=HTML)
    assert page.status_code == 503
    assert page.headers["content-type"].startswith("text/html")
    assert "Try again" in page.text
    sent = without_server.post("/shop", data={"name": "North yard", "key": "k1"}, headers=HTML)
    assert sent.status_code == 503
    assert 'name="name" value="North yard"' in sent.text


def test_a_fault_of_a_statement_stays_a_fault(
    client: TestClient, store: Store, now: datetime
) -> None:
    with store.unit_of_work() as session:
        open_shop(session, now)
        session.connection().execute(text("DROP TABLE place"))
    assert client.get(f"{API}/places").status_code == 500
