"""One pour says the same hour, chance, mass and word wherever it is told."""

import re
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from icalendar import Calendar
from starlette.testclient import TestClient

from models.records import Pour, Shop
from scheduler.jobs import Rounds
from service import preference, scenario_file
from service.actions.windows.project_pour import project_pour
from service.cli import printed
from service.store import Store
from service.words import Reader, chance, instant, measure
from service.words.instants import deserved
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
        ours = text.replace("Bench mould", "")  # a name, told as it was typed
        assert not re.search(r"\d °C\b|\bMPa\b|\bmm\b|\bkg\b|\bmould", ours), (door, text)
