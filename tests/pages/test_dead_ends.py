"""No page leads nowhere and no two pours are alike: P9, P13, P16, P23 of the walk."""

import re
from datetime import timedelta
from urllib.parse import urlsplit

import pytest
from starlette.testclient import TestClient

from models.records import Place, Pour, Reading
from scheduler.jobs import Rounds
from service.actions.windows.project_pour import project_pour
from service.pages.view import title
from service.store import Store
from tests.support.first import FIRST
from tests.support.phone import Phone
from tests.support.rows import newest, rows
from tests.support.shop import HOUR, Bench, Hands, Mailbox, Windows

SIGNED = ("temperature_C", "temperature_difference_K", "angle_deg")


def test_a_pour_of_yesterday_with_typed_temperatures_has_a_way_on(
    phone: Phone, store: Store, hands: Hands
) -> None:
    """P9a: tonight's low cannot fill the night that has been; the air since then can."""
    yesterday = f"{hands.now - timedelta(hours=29):%Y-%m-%dT%H:%M}"  # 24 h on the shop's clock
    sent = {"placed_at": yesterday, "night_low_C": "-10 C", "day_high_C": "-2 C", "confirm": "1"}
    page = phone.send(phone.open("/pour").form("/pour"), **FIRST, **sent)
    assert phone.status == 200
    assert "don’t reach back to the pour" in page.text
    assert "● open" not in page.text
    poured = phone.path
    (leads,) = {link for link in page.links if link.endswith("since=pour")}
    page = phone.open(leads)
    page = phone.send(page.form("/reading"), value_C="-9 C", value_max_C="-1 C", confirm="1")
    assert phone.status == 200
    read = newest(store, Reading)
    assert (read.kind, read.span_h) == ("air-min-max", 24.0)
    assert "reach back" not in page.text
    assert "Without weather" not in page.text
    assert title("strip") in page.text
    page = phone.send(page.form("/remove", "Undo"))
    assert phone.path == poured
    assert "reach back" in page.text  # nothing is known of that night again


def test_a_new_place_needs_no_coordinates_by_heart(phone: Phone, store: Store) -> None:
    """P9c: a phone gives no position to a page without TLS; a town does for every new place."""
    form = phone.open("/shop/place/new").form("/new")
    phone.send(form, place__kind="covered", town="Duluth, MN")
    assert phone.status == 200
    (place,) = rows(store, Place)
    assert (round(place.latitude or 0), place.timezone) == (47, "America/Chicago")
    page = phone.send(phone.open("/shop/place/new").form("/new"), town="Springfield")
    assert phone.status == 422
    assert "town_key" in page.notes
    page = phone.open(f"/shop/place/{place.id}")
    assert "town" not in page.form(f"/place/{place.id}").fields  # where it is, is known
    phone.send(page.form(f"/place/{place.id}"), place__name="Lake shed")
    assert (rows(store, Place)[0].name, len(rows(store, Place))) == ("Lake shed", 1)


def test_a_place_is_described_by_its_town_while_asking_about_tonight(
    phone: Phone, store: Store
) -> None:
    form = phone.open("/tonight").form("/tonight")
    phone.send(form, **FIRST, town="Duluth, MN")
    (place,) = rows(store, Place)
    assert round(place.latitude or 0) == 47


def test_two_pours_of_one_piece_are_told_apart_wherever_they_are_named(
    phone: Phone,
    client: TestClient,
    store: Store,
    bench: Bench,
    windows: Windows,
    hands: Hands,
    rounds: Rounds,
    mailbox: Mailbox,
) -> None:
    """P16: by the number of the pour, on every page, in notices and in the calendar."""
    body = {f"{noun}_id": getattr(bench, f"{noun}_id") for noun in ("piece", "mix", "place")}
    pours = [client.post("/api/v1/pours", json=body).json()["id"] for _ in range(2)]
    labels = [f"North bench #{pour}" for pour in pours]
    at = hands.now + 15 * HOUR
    windows.say("strip", "not yet", at)
    windows.warn("frost", at + 9 * HOUR, at + 3 * HOUR)
    for pour in pours:
        project_pour(store, hands.now, pour)
        project_pour(store, at - HOUR / 2, pour)
    rounds.deliver(at)
    (feed,) = (one for one in phone.open("/shop/settings").links if one.endswith(".ics"))
    told = {
        "Today": phone.open("/").text,
        "the calendar": re.sub(r"\r\n ", "", client.get(urlsplit(feed).path).text),
        "notices": " ".join(f"{one.title} {one.body}" for one in mailbox.notices),
        "what it is mixed of": phone.open(f"/shop/mix/{bench.mix_id}").text,
    }
    for where, words in told.items():
        for label in labels:
            assert label in words, where
    for pour, label in zip(pours, labels, strict=True):
        assert label in phone.open(f"/pours/{pour}").text
        client.post(f"/api/v1/pours/{pour}/close", json={"why": "finished"})
    finished = phone.open("/shop/finished").text
    assert all(label in finished for label in labels)


def test_steps_of_one_hour_keep_their_own_names(
    phone: Phone, store: Store, poured: str, windows: Windows, hands: Hands
) -> None:
    """P13: `Let it stand in rain` and `Seal it again` once ran together into one heading."""
    named = ("rain-safe", "light-use", "full-use", "de-icing", "reseal")
    for step in named:
        windows.say(step, "not yet", hands.now + 50 * HOUR)
    project_pour(store, hands.now, newest(store, Pour).id)
    words = phone.open(poured).text
    for step in named:
        assert title(step) in words
        for other in named:
            assert f"{title(step)} to {title(other)}".lower() not in words.lower()


@pytest.mark.usefixtures("poured")
@pytest.mark.parametrize(
    "path",
    [
        "/pour?piece=new",
        "/tonight",
        "/shop/settings",
        *(f"/shop/{noun}/new" for noun in ("piece", "mix", "place", "mould", "sealer")),
        *(f"/pours/1/{kind}/add" for kind in ("reading", "test", "batch", "cover", "weather")),
        "/pours/1/edit",
    ],
)
def test_every_box_for_a_number_brings_its_keyboard(phone: Phone, path: str) -> None:
    """P23: digits; letters only where a fraction or a sign must be typed without script."""
    boxes = re.findall(r"<input[^>]*data-dimension[^>]*>", phone.open(path).source)
    assert phone.status == 200
    assert boxes
    for box in boxes:
        (keys,) = re.findall(r'inputmode="(\w+)"', box) or ["none"]
        (dimension,) = re.findall(r'data-dimension="(\w+)"', box)
        wanted = ("text",) if dimension in SIGNED else ("decimal", "numeric")
        assert keys in wanted, box
