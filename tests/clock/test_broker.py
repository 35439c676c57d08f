"""Instruments at a real broker: heard once, across restarts of either side, and told when away."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy.exc import OperationalError
from starlette.testclient import TestClient

import scheduler.broker
from models.records import Reading, Topic
from scheduler.broker import Ear, Ears
from service.actions.pours.hear import Heard, hear, listen_to
from service.actions.pours.log_pour import log_pour
from service.actions.shop.broker import own_level
from service.actions.shop.set_up_shop import new_shop
from service.nouns.pour import PourCreate
from service.settings import Settings
from service.store import Store
from service.store.shops import ALL, within
from tests.support.mqtt_broker import Mosquitto, mosquitto, until
from tests.support.phone import Phone
from tests.support.rows import rows
from tests.support.shop import HOUR, Bench, Hands, furnish

MINUTE = timedelta(minutes=1)
Hearing = Callable[..., int]


@pytest.fixture(scope="module")
def broker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Mosquitto]:
    folder: Path = tmp_path_factory.mktemp("broker")
    with mosquitto(folder) as running:
        yield running


@pytest.fixture
def settings(tmp_path: Path, broker: Mosquitto) -> Settings:
    return Settings(data=str(tmp_path), hosts="testserver", mqtt_url=broker.url)


@pytest.fixture
def listening(
    settings: Settings, store: Store, hands: Hands, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Callable[[], Ear]]:
    """Starts an ear that has subscribed; all are stopped."""
    begun: list[Ear] = []
    monkeypatch.setattr(scheduler.broker, "LOOK_S", 0.1)
    monkeypatch.setattr(scheduler.broker, "FIRST_PAUSE", timedelta(seconds=0.1))
    assert settings.broker is not None
    address = settings.broker

    def begin() -> Ear:
        ear = Ear(address, store, hands)
        begun.append(ear)
        ear.start()
        return ear

    yield begin
    for ear in begun:
        ear.stop()


@pytest.fixture
def topic(store: Store, bench: Bench, now: datetime) -> Hearing:
    def add(pattern: str, **more: Any) -> int:
        target = ("pour", more.pop("pour_id")) if "pour_id" in more else ("place", bench.place_id)
        values = {"name": "Yard", "pattern": pattern, **more}
        with store.unit_of_work() as session:
            return listen_to(session, now, values, target).id

    return add


def kept(store: Store) -> list[tuple[str, float, str | None]]:
    return sorted(
        (one.kind, one.rh_pct or one.value_C, one.instrument) for one in rows(store, Reading)
    )


def heard(store: Store) -> bool:
    return all(one.heard_at is not None for one in rows(store, Topic))


def test_what_sensors_say_becomes_readings_of_place_and_piece(
    store: Store,
    broker: Mosquitto,
    topic: Hearing,
    listening: Callable[[], Ear],
    pour_id: int,
    now: datetime,
) -> None:
    topic("a/+/bare", unit="F")
    topic("a/shed", value_path="$.air", name="Shed")
    topic("a/shed", value_path="$.wet", name="Shed", kind="humidity")
    topic(
        "a/probe", value_path="t[1]", at_path="at", name="Probe", kind="concrete", pour_id=pour_id
    )
    listening()
    probe = {"t": [0, 17.5], "at": int((now - 20 * MINUTE).timestamp())}
    until(lambda: broker_hears(broker, store))
    broker.say("a/north/bare", "48")
    broker.say("a/south/bare", "8.5 C")
    broker.say("a/shed", '{"air": 9.25, "wet": 81}')
    broker.say("a/probe", str(probe).replace("'", '"'))
    until(lambda: len(rows(store, Reading)) == 5)
    found = kept(store)
    assert [(kind, name) for kind, _, name in found] == [
        ("air", "Yard south"),
        ("air", "Yard north"),
        ("air", "Shed"),
        ("concrete", "Probe"),
        ("humidity", "Shed"),
    ]
    assert [value for _, value, _ in found] == pytest.approx([8.5, 8.889, 9.25, 17.5, 81], abs=1e-3)
    (row,) = [one for one in rows(store, Reading) if one.kind == "concrete"]
    assert (row.at, row.pour_id, row.logged_by) == (now - 20 * MINUTE, pour_id, "Probe")


def broker_hears(broker: Mosquitto, store: Store, *named: str) -> bool:
    """Whether the subscription stands: a first word that is no number is noted as its fault."""
    for topic in named or [row.pattern.replace("+", "first") for row in rows(store, Topic)]:
        broker.say(topic, "not yet")
    return heard(store)


@pytest.mark.usefixtures("pour_id")
def test_each_shop_of_a_server_hears_its_own_instruments(
    settings: Settings,
    store: Store,
    broker: Mosquitto,
    topic: Hearing,
    hands: Hands,
    now: datetime,
    client: TestClient,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """That listens from when it has something to hear; the first one never to another's."""
    monkeypatch.setattr(scheduler.broker, "LOOK_S", 0.1)
    assert client.get("/readyz")
    with within(ALL), store.unit_of_work() as session:
        second = new_shop(session, now, "Second", "America/Chicago").id
    topic("#")
    assert settings.broker is not None
    ears = Ears(settings.broker, store, hands)
    ears.start()
    try:
        until(lambda: broker_hears(broker, store, "f/x/air"))
        with within(second):
            bench = furnish(store, now)
            with store.unit_of_work() as session:
                values = {"name": "Yard", "pattern": "f/+/air"}
                listen_to(session, now, values, ("place", bench.place_id))
                told = PourCreate(
                    mix_id=bench.mix_id, piece_id=bench.piece_id, place_id=bench.place_id
                )
                log_pour(session, now, told.model_copy(update={"placed_at": now - HOUR}))
            level = own_level(second)
            until(lambda: broker_hears(broker, store, f"{level}f/x/air"))
            broker.say(f"{level}f/north/air", "8")
        broker.say("f/north/air", "9")
        until(lambda: rows(store, Reading))
        assert [value for _, value, _ in kept(store)] == [9.0]
        with within(second):
            until(lambda: rows(store, Reading))
            assert kept(store) == [("air", 8.0, "Yard north")]
    finally:
        ears.stop()


@pytest.mark.usefixtures("pour_id")
def test_what_the_broker_keeps_is_counted_once_and_never_as_of_now(
    store: Store, broker: Mosquitto, topic: Hearing, listening: Callable[[], Ear], now: datetime
) -> None:
    """Kept messages come again at each start; one without a time may be of last winter."""
    topic("b/timed", value_path="c", at_path="at")
    bare = topic("b/bare")
    at = (now - 30 * MINUTE).isoformat()
    broker.say("b/timed", f'{{"c": 9, "at": "{at}"}}', kept=True)
    broker.say("b/bare", "25", kept=True)
    for _ in range(2):
        ear = listening()
        until(lambda: heard(store))
        ear.stop()
        with store.unit_of_work() as session:
            for row in (session.get_one(Topic, one.id) for one in rows(store, Topic)):
                assert (row.fault == "") is (row.id != bare)
                row.heard_at = None
    assert kept(store) == [("air", 9.0, "Yard")]
    listening()
    until(lambda: heard(store))
    broker.say("b/bare", "8", kept=True)  # said now: it is of now
    until(lambda: len(rows(store, Reading)) == 2)
    assert only_fault(store, bare) == ""


def only_fault(store: Store, key: int) -> str:
    return next(one.fault for one in rows(store, Topic) if one.id == key)


@pytest.mark.usefixtures("pour_id")
def test_what_was_said_meanwhile_and_tells_its_time_is_counted_then(
    store: Store, broker: Mosquitto, topic: Hearing, listening: Callable[[], Ear], now: datetime
) -> None:
    topic("c/timed", value_path="c", at_path="at")
    topic("c/bare")
    first = listening()
    until(lambda: broker_hears(broker, store))
    first.stop()
    at = (now - 10 * MINUTE).isoformat()
    broker.say("c/timed", f'{{"c": 7, "at": "{at}"}}')
    broker.say("c/bare", "25")  # hours later nobody could say of when it is
    listening()
    until(lambda: rows(store, Reading))
    broker.say("c/bare", "8")
    until(lambda: len(rows(store, Reading)) == 2)
    assert kept(store) == [("air", 7.0, "Yard"), ("air", 8.0, "Yard")]


@pytest.mark.usefixtures("pour_id")
@pytest.mark.parametrize("added", ["before", "meanwhile"])
def test_what_was_said_meanwhile_is_never_as_of_now_where_another_row_hears_it(
    store: Store,
    broker: Mosquitto,
    topic: Hearing,
    listening: Callable[[], Ear],
    now: datetime,
    added: str,
) -> None:
    """The humidity of a message whose time stands beside it, listened to without that time."""
    topic(f"{added}/one", value_path="c", at_path="at")
    if added == "before":
        topic(f"{added}/+", value_path="c", name="Shed")
    first = listening()
    until(lambda: broker_hears(broker, store))
    first.stop()
    at = (now - 10 * MINUTE).isoformat()
    broker.say(f"{added}/one", f'{{"c": 7, "at": "{at}"}}')
    if added == "meanwhile":
        topic(f"{added}/+", value_path="c", name="Shed")
    listening()
    until(lambda: broker_hears(broker, store))
    broker.say(f"{added}/one", f'{{"c": 8, "at": "{now.isoformat()}"}}')
    until(lambda: ("air", 8.0, "Shed one") in kept(store))
    until(lambda: ("air", 8.0, "Yard") in kept(store))
    assert ("air", 7.0, "Shed one") not in kept(store)
    assert (("air", 7.0, "Yard") in kept(store)) is (added == "meanwhile")


@pytest.mark.parametrize(
    ("one", "other", "meet"),
    [
        ("shed/air", "shed/air", True),
        ("shed/+", "shed/#", True),
        ("shed", "shed/#", True),
        ("shed/air/x", "shed/#", True),
        ("+/air", "shed/+", True),
        ("#", "a/b/c", True),
        ("shed/air", "shed/wet", False),
        ("shed/+", "shed", False),
        ("shed/air/#", "shed/+/x", True),
        ("shed/air/#", "shed", False),
        ("a/+/x", "a/b/y", False),
    ],
)
def test_patterns_meet_where_one_topic_fits_both(one: str, other: str, meet: bool) -> None:
    assert scheduler.broker._overlap(one, other) is meet
    assert scheduler.broker._overlap(other, one) is meet


@pytest.mark.usefixtures("pour_id")
def test_what_the_database_did_not_take_is_sent_again(
    store: Store,
    broker: Mosquitto,
    topic: Hearing,
    listening: Callable[[], Ear],
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    topic("d/timed", value_path="c", at_path="at")
    tried: list[str] = []

    def fails_once(store: Store, now: datetime, key: int, heard: Heard) -> None:
        if heard.payload.startswith(b"{"):
            tried.append(heard.topic)
            if len(tried) == 1:
                locked = Exception("locked")
                locked.sqlite_errorcode = 5  # type: ignore[attr-defined]
                raise OperationalError("INSERT", {}, locked)
        hear(store, now, key, heard)

    monkeypatch.setattr(scheduler.broker, "hear", fails_once)
    listening()
    until(lambda: broker_hears(broker, store))
    broker.say("d/timed", f'{{"c": 7, "at": "{now.isoformat()}"}}')
    until(lambda: rows(store, Reading))
    assert tried == ["d/timed"] * 2
    assert kept(store) == [("air", 7.0, "Yard")]


def test_a_broker_that_is_away_is_told_and_forgotten_when_it_is_back(
    client: TestClient,
    store: Store,
    broker: Mosquitto,
    topic: Hearing,
    listening: Callable[[], Ear],
    hands: Hands,
    pour_id: int,
) -> None:
    assert pour_id
    topic("e/bare")
    listening()
    until(lambda: broker_hears(broker, store))
    until(lambda: client.get("/readyz").json()["broker_is_there"])
    broker.stop()
    hands.now += 11 * MINUTE
    phone = Phone(client)
    try:
        until(lambda: client.get("/readyz").json()["broker_is_there"] is False)
        until(lambda: "refused" in phone.open("/").text.lower())
        assert "/shop/broker" in phone.page.links
        for path in ("/shop/settings", "/shop/broker"):
            assert "away" in phone.open(path).text
            assert "p@ss" not in phone.page.text
            assert "p%40ss" not in phone.page.text
    finally:
        broker.start()
    until(lambda: client.get("/readyz").json()["broker_is_there"])
    until(lambda: broker_hears(broker, store))
    broker.say("e/bare", "8.5")
    until(lambda: rows(store, Reading))
    assert "/shop/broker" not in phone.open("/").links


def test_a_wrong_password_is_told_and_shown_to_nobody(
    broker: Mosquitto, store: Store, client: TestClient, hands: Hands
) -> None:
    wrong = Settings(mqtt_url=broker.url.replace("p%40ss", "guess"))
    assert wrong.broker is not None
    ear = Ear(wrong.broker, store, hands)
    ear.start()
    try:
        phone = Phone(client)
        until(lambda: "authorized" in phone.open("/shop/broker").text.lower())
        assert "guess" not in phone.page.text
    finally:
        ear.stop()
