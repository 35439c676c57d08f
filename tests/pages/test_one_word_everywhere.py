"""One pour says the same hour, chance, mass and word wherever it is told."""

import re
from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest
from icalendar import Calendar
from starlette.testclient import TestClient

from models.records import Pour, Shop
from scheduler.jobs import Rounds
from service import demo, preference, scenario_file
from service.actions.windows import standing
from service.actions.windows.pressing import pressing
from service.actions.windows.project_pour import project_pour
from service.cli import printed
from service.store import Store
from service.words import Reader, chance, instant, measure
from service.words.instants import act_by, deserved
from tests.support.once import DEMO
from tests.support.phone import Phone
from tests.support.shop import SUMMARY, Mailbox, Windows

HOUR = timedelta(hours=1)
FROST = 0.31


@pytest.fixture
def american(client: TestClient, store: Store, pour_id: int) -> TestClient:
    """A browser of the States in a shop that measures as its zone does."""
    with store.unit_of_work() as session:
        assert session.get_one(Pour, pour_id)
        shop = session.get_one(Shop, 1)
        shop.units = None
        session.add(shop)
    client.headers["Accept-Language"] = "en-US"
    return client


@pytest.fixture
def reader(american: TestClient, store: Store, now: datetime) -> Reader:
    """The shop as its notices speak to it; the browser asks for nothing else."""
    assert american.headers["Accept-Language"] == "en-US"
    with store.reading() as session:
        told = preference.of_shop(session.get_one(Shop, 1), now)
    assert (told.units.preset, told.language, told.hours) == ("us", "en-US", 12)
    return told


@pytest.fixture
def dictated(windows: Windows, now: datetime) -> Windows:
    windows.say(
        "strip", "not yet", now + timedelta(hours=60, minutes=17), now + 190 * HOUR, "Nearly."
    )
    windows.warn("frost", now + 9 * HOUR, now + 4 * HOUR, FROST)
    return windows


def doors(
    client: TestClient, store: Store, rounds: Rounds, mailbox: Mailbox, pour_id: int, now: datetime
) -> dict[str, str]:
    """What a pour says of itself, by where it says so."""
    project_pour(store, now, pour_id)
    rounds.deliver(now)
    phone = Phone(client)
    path = client.get("/api/v1/shop").json()["calendar_path"]
    entries = Calendar.from_ical(client.get(path).content).walk("VEVENT")
    return {
        "piece": phone.open(f"/pours/{pour_id}").text,
        "today": phone.open("/").text,
        "record": phone.open(f"/pours/{pour_id}/record").text,
        "care": phone.open(f"/pours/{pour_id}/care").text,
        "notice": " ".join(f"{one.title} {one.body}" for one in mailbox.notices),
        "calendar": " ".join(f"{one['SUMMARY']} {one['DESCRIPTION']}" for one in entries),
    }


def test_hour_chance_and_mass_are_the_same_wherever_a_pour_is_told(
    american: TestClient,
    store: Store,
    rounds: Rounds,
    mailbox: Mailbox,
    pour_id: int,
    dictated: Windows,
    reader: Reader,
    now: datetime,
) -> None:
    """P5: three pages, three answers."""
    told = doors(american, store, rounds, mailbox, pour_id, now)
    projection = dictated()
    scenario = scenario_file.read(DEMO).scenario
    of_pour = replace(reader, placed_at=now)
    told["command line"] = printed.timeline(projection, scenario, "made up", now, of_pour)
    strip = projection.steps[0]
    assert strip.safe is not None
    hour = instant(deserved(strip.safe, of_pour, up=True), "time", of_pour)
    assert hour == "12:00 pm"
    for door in ("piece", "calendar", "command line"):
        assert hour in told[door], (door, told[door])
        assert instant(strip.safe, "time", of_pour) not in told[door], door
    for door in ("piece", "today", "notice", "command line"):
        assert chance(FROST) in told[door], (door, told[door])
        assert f"{FROST:.0%}" not in told[door], door
    for door in ("piece", "record", "care"):
        assert measure(SUMMARY.mass_kg, "mass_kg", reader) in told[door], (door, told[door])
    for door, text in told.items():
        # a name, told as it was typed, and the key to the other units
        ours = text.replace("Bench mould", "").replace("Show °C and mm", "")
        assert not re.search(r"\d °C\b|\bMPa\b|\bmm\b|\bkg\b|\bmould", ours), (door, text)


def test_today_piece_and_notice_agree_on_every_hour_of_the_demo(
    client: TestClient, store: Store, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    demo.fill(store, demo.Replay(demo.TIMEZONE, now))
    with store.unit_of_work() as session:
        shop = session.get_one(Shop, 1)
        shop.notice_addresses = ["json://localhost"]
        session.add(shop)
    client.headers["Accept-Language"] = "en-US"  # as the demo's zone speaks, and its notices
    phone = Phone(client)
    today = phone.open("/").text
    rounds.deliver(now)
    with store.reading() as session:
        found = pressing(session, now)
        reader = preference.of_shop(session.get_one(Shop, 1), now)
    alerts = 0
    for one in found:
        piece = phone.open(f"/pours/{one.head.pour_id}").text
        of_pour = replace(reader, placed_at=one.head.placed_at)
        for alert in one.alerts:
            hour = instant(act_by(alert.act_by, of_pour), "time", of_pour)
            notices = [told for told in mailbox.notices if one.head.label in told.title]
            assert any(hour in told.title for told in notices), (hour, mailbox.notices)
            assert hour in today, (hour, today)
            assert hour in piece, (hour, piece)
            alerts += 1
        opening = one.step and standing.opens(one.step)
        if opening and opening > now:
            hour = instant(deserved(opening, of_pour, up=True), "time", of_pour)
            assert hour in today, (one.head.label, hour, today)
            assert hour in piece, (one.head.label, hour, piece)
    assert alerts


@pytest.mark.parametrize(
    ("asked", "by", "told"),
    [
        ("18:00", "03:07", "20:00"),  # nobody works at three
        ("18:00", "19:07", "19:07"),
        ("20:30", "03:07", "03:07"),  # work is over: the hour itself
    ],
)
def test_what_is_to_be_done_by_night_is_told_by_the_end_of_work(
    asked: str, by: str, told: str
) -> None:
    now = datetime.fromisoformat(f"2026-11-20T{asked}+00:00")
    at = datetime.fromisoformat(f"2026-11-{21 if by < asked else 20}T{by}+00:00")
    reader = Reader("UTC", now=now, works=(time(7), time(20)))
    assert instant(at, "time by", reader) == told
