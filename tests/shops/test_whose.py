"""Whose shop a request is: of who signed in, of the token, of the code that is held; and the clock
works for each."""

from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy import text
from sqlmodel import col, select
from starlette.testclient import TestClient

from models.records import IdempotencyKey, Job, OwnerLink, Person, Reading, Reminder, Shop, Sticker
from scheduler.jobs import Rounds
from service import secret
from service.settings import Settings
from service.signed_in import COOKIE
from service.store import Store
from service.store.shops import ALL, within
from tests.support.phone import Phone
from tests.support.shop import Mailbox, Sky
from tests.support.two_shops import MARKS, PASSWORD, Shops

Browser = Callable[[int], TestClient]


def in_the_path(store: Store, shop_id: int, table: type[Sticker] | type[OwnerLink]) -> str:
    with within(shop_id), store.reading() as session:
        return str(session.exec(select(table.code)).first())


def test_each_owner_sees_their_shop_alone(browser: Browser) -> None:
    for own, other in ((1, 2), (2, 1)):
        client = browser(own)
        for path in ("/", "/shop", "/api/v1/shop", "/api/v1/pours", "/shop/people", "/orders"):
            answer = client.get(path)
            assert answer.status_code == 200, path
            assert MARKS[other] not in answer.text, path
        assert client.get("/api/v1/shop").json()["name"] == f"{MARKS[own]} yard"


def test_a_stranger_sees_no_shop(browser: Browser) -> None:
    client = browser(0)
    for path in ("/sign-in", "/help", "/waiting", "/readyz", "/healthz", "/s/x", "/join/x", "/c/x"):
        answer = client.get(path)
        assert not any(mark in answer.text for mark in MARKS.values()), path
        assert answer.status_code in (200, 404, 503), path
    assert client.get("/").headers["location"].startswith("/sign-in")
    assert client.get("/api/v1/shop").status_code == 401
    assert client.get("/calendar/of no shop.ics").text.count("BEGIN:VEVENT") == 0
    kept = client.post("/reader", data={"units": "us", "back": "/help"})
    assert kept.status_code == 303


def test_name_and_password_lead_into_the_own_shop(browser: Browser) -> None:
    for mark in MARKS.values():
        client = browser(0)
        phone = Phone(client)
        client.follow_redirects = True
        form = phone.open("/sign-in").form("/sign-in")
        phone.send(form, name=f"{mark} Ana", password=PASSWORD)
        assert client.get("/api/v1/shop").json()["name"] == f"{mark} yard"


def test_people_of_two_shops_may_be_called_the_same(
    browser: Browser, store: Store, shops: Shops, now: datetime
) -> None:
    """And whoever of them signs in comes into their own: the password says who it is."""
    for shop_id in MARKS:
        with within(shop_id), store.unit_of_work() as session:
            hashed = secret.hashed(f"the password of {shop_id}")
            row = Person(created_at=now, name="Same", role="viewer", password_hash=hashed)
            session.add(row)
    for shop_id, mark in MARKS.items():
        client = browser(0)
        sent = {"name": "same", "password": f"the password of {shop_id}", "then": "/"}
        assert client.post("/sign-in", data=sent).status_code == 303
        assert client.get("/api/v1/shop").json()["name"] == f"{mark} yard"
    wrong = browser(0).post("/sign-in", data={**sent, "password": "the password of 3"})
    assert wrong.status_code == 422
    assert shops.keys


def test_a_code_opens_what_it_belongs_to_whoever_asks(
    browser: Browser, store: Store, shops: Shops
) -> None:
    """A stranger, who is in, and who is in elsewhere: to them it shows what strangers see."""
    sticker, link = (in_the_path(store, 1, table) for table in (Sticker, OwnerLink))
    for who in (0, 2):
        client = browser(who)
        named = client.get(f"/s/{sticker}")
        assert named.status_code == 200
        assert "Quarrel" in named.text
        assert 'href="/moulds' not in named.text
        assert client.get(f"/c/{link}").status_code in (200, 409, 503)
        feed = client.get(f"/calendar/{shops.codes[1]['feed']}.ics")
        assert feed.status_code == 200
        assert "Zephyr" not in feed.text
        assert client.get(f"/join/{shops.codes[1]['join']}").status_code == 200
    assert browser(1).get(f"/s/{sticker}").status_code == 303
    assert browser(2).get("/api/v1/shop").json()["name"] == "Zephyr yard"


def test_a_link_lets_in_to_its_shop_even_who_is_in_another(
    browser: Browser, store: Store, shops: Shops
) -> None:
    client = browser(2)
    sent = {"name": "Quarrel Bo", "password": PASSWORD}
    assert client.post(f"/join/{shops.codes[1]['join']}", data=sent).status_code == 303
    assert client.get("/api/v1/shop").json()["name"] == "Quarrel yard"
    with within(ALL), store.reading() as session:
        assert session.exec(select(Person).where(Person.name == "Quarrel Bo")).one().shop_id == 1


def test_a_machine_belongs_to_the_shop_that_let_it_in(
    browser: Browser, store: Store, shops: Shops, now: datetime
) -> None:
    client = browser(0)
    bearer = {"authorization": f"Bearer {shops.codes[1]['screen']}"}
    assert client.get("/api/v1/shop", headers=bearer).json()["name"] == "Quarrel yard"
    bearer = {"authorization": f"Bearer {shops.codes[1]['instrument']}"}
    sent = {"kind": "concrete", "value_C": 17.5, "at": (now - timedelta(minutes=5)).isoformat()}
    for shop_id, status in ((1, 201), (2, 401)):
        path = f"/api/v1/pours/{shops.keys[shop_id]['pour']}/readings"
        answer = client.post(path, json=sent, headers=bearer)
        assert answer.status_code == status, answer.text
    with within(ALL), store.reading() as session:
        assert {one.shop_id for one in session.exec(select(Reading)) if one.value_C == 17.5} == {1}


def test_the_key_of_a_request_is_its_shop_s(browser: Browser, store: Store) -> None:
    for shop_id in MARKS:
        sent = {"name": "Sand and lime", "class": "general-purpose"}
        answer = browser(shop_id).post(
            "/api/v1/mixes", json=sent, headers={"Idempotency-Key": "the same"}
        )
        assert answer.status_code == 201, answer.text
    with within(ALL), store.reading() as session:
        kept = session.exec(select(IdempotencyKey).where(IdempotencyKey.key == "the same")).all()
        assert {one.shop_id for one in kept} == {1, 2}


def test_the_clock_works_for_every_shop(
    settings: Settings, store: Store, sky: Sky, shops: Shops, now: datetime
) -> None:
    del shops
    boxes: dict[str, Mailbox] = {}

    def channels(addresses: object) -> list[Mailbox]:
        return [boxes.setdefault(str(addresses), Mailbox())] if addresses else []

    with within(ALL), store.unit_of_work() as session:
        for job in session.exec(select(Job).where(col(Job.kind) != "beat")):
            job.due_at, job.succeeded_at = now - timedelta(minutes=1), None
    rounds = Rounds(settings, store, sky, channels)
    assert rounds.refresh(now) == 2
    assert rounds.project(now) == 2
    assert rounds.tidy(now) == 2
    rounds.deliver(now)
    with within(ALL), store.reading() as session:
        done = session.exec(select(Job)).all()
        assert not [one.failure for one in done if one.failure]
        for kind in ("weather", "projection"):
            assert {one.shop_id for one in done if one.kind == kind and one.succeeded_at} == {1, 2}


def test_a_notice_goes_to_its_own_shop(
    settings: Settings, store: Store, sky: Sky, shops: Shops, now: datetime
) -> None:
    """Each shop has its own address; what is owed in one is told there alone."""
    del shops
    told: dict[str, Mailbox] = {}

    def channels(addresses: list[str]) -> list[Mailbox]:
        return [told.setdefault(one, Mailbox(one)) for one in addresses]

    for shop_id, mark in MARKS.items():
        with within(shop_id), store.unit_of_work() as session:
            shop = session.get_one(Shop, shop_id)
            shop.notice_addresses = [f"json://{mark.lower()}"]
            for row in session.exec(select(Reminder)):
                row.state = "cancelled"
    with within(2), store.unit_of_work() as session:
        row = session.exec(select(Reminder)).all()[0]
        row.state, row.kind, row.step = "waiting", "opens", "strip"
        row.due_at = row.wanted_at = now - timedelta(minutes=1)
        row.window_at, row.not_after = now, now + timedelta(hours=5)
    Rounds(settings, store, sky, channels).deliver(now)  # type: ignore[arg-type]
    assert not told.get("json://quarrel", Mailbox()).notices
    with within(ALL), store.reading() as session:
        states = {(one.shop_id, one.state) for one in session.exec(select(Reminder))}
    assert (2, "waiting") not in states


def test_alone_on_the_server_nothing_is_asked(browser: Browser, store: Store, shops: Shops) -> None:
    """With one shop a stranger's pages are in its units, as ever."""
    del shops
    with within(ALL), store.unit_of_work() as session:
        session.connection().execute(text("DELETE FROM shop WHERE id = 2"))
    assert browser(0).get("/help").status_code == 200
    held = browser(1)
    assert held.cookies.get(COOKIE)
    assert held.get("/").status_code == 200
