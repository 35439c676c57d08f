"""How many taps and boxes a maker needs, counted by the hand itself. Time is not asserted."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from models.records import Place, Pour, Shop
from service.store import Store
from tests.support.rows import newest, rows
from tests.support.shop import Bench, Hands
from tests.support.thumb import Thumb
from tests.support.words import said

pytestmark = pytest.mark.browser
SECOND_POUR_TAPS = 4
FIRST_POUR_INPUTS = 12
READING_TAPS = 2


@pytest.mark.usefixtures("app")
def test_a_first_honest_pour_in_an_empty_shop(phone: Callable[..., Page], store: Store) -> None:
    """Where by town, which bag with what it says, which piece: nothing of it is invented."""
    thumb = Thumb(phone())
    thumb.open("/")
    thumb.press("link", "Log a pour")
    thumb.type("town", "Duluth, MN")
    thumb.choose("place.kind", "unheated room")
    thumb.choose("mix.kind", "high-early")
    thumb.unfold("What the bag says")
    thumb.type("mix.at0.age_h", "28 d")
    thumb.type("mix.at0.MPa", "38")
    for measure, typed in (("length", "1200"), ("width", "600"), ("thickness", "50")):
        thumb.type(f"piece.{measure}_mm", typed)
    thumb.press("button", "Poured")
    expect(thumb.page).to_have_url(re.compile("/pours/1$"))
    assert thumb.inputs <= FIRST_POUR_INPUTS
    (place,) = rows(store, Place)
    assert (round(place.latitude or 0), round(place.longitude or 0)) == (47, -92)
    (pour,) = rows(store, Pour)
    (label,) = pour.poured["mix"]["label"]
    assert (label["age_h"], label["MPa"]) == (672.0, 38.0)
    assert (pour.poured["piece"]["length_mm"], pour.mould_id) == (1200.0, None)


def test_the_second_pour_of_another_piece(
    phone: Callable[..., Page], client: TestClient, store: Store, bench: Bench, hands: Hands
) -> None:
    body = {"mix_id": bench.mix_id, "place_id": bench.place_id}
    step = client.post(
        "/api/v1/pieces",
        json={"name": "Low step", "shape": "block", "length_mm": 900, "width_mm": 400}
        | {"height_mm": 150},
    ).json()
    for piece_id in (step["id"], bench.piece_id):
        sent = body | {"piece_id": piece_id}
        assert client.post("/api/v1/pours", json=sent).status_code == 201
        hands.forward(24)
    thumb = Thumb(phone())
    thumb.open("/")
    thumb.press("link", "Pour", exact=True)
    thumb.press("link", "Low step")
    thumb.press("button", "Poured")
    expect(thumb.page).to_have_url(re.compile("/pours/3$"))
    assert thumb.taps <= SECOND_POUR_TAPS
    assert thumb.fields == 0
    assert newest(store, Pour).piece_id == step["id"]
    thumb.page.go_back()  # P22: back, and pressed again
    thumb.press("button", "Poured")
    expect(thumb.page.get_by_role("alert")).to_contain_text("was logged already")
    assert len(rows(store, Pour)) == 3


def test_a_reading_is_two_taps_and_a_number(
    phone: Callable[..., Page], client: TestClient, pour_id: int, hands: Hands
) -> None:
    probe = f"/api/v1/pours/{pour_id}/readings"
    assert client.post(probe, json={"kind": "concrete", "value_C": 16.0}).status_code == 201
    hands.forward(3)
    thumb = Thumb(phone())
    thumb.open(f"/pours/{pour_id}")
    thumb.press("link", "Add")
    thumb.type("value_C", "17")
    thumb.press("button", "Save the reading")
    expect(thumb.page.locator(".said")).to_contain_text(said("saved_reading"))
    assert (thumb.taps, thumb.fields) == (READING_TAPS, 1)
    assert [row["value_C"] for row in client.get(probe).json()] == [16.0, 17.0]


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
@pytest.mark.usefixtures("app")
def test_an_empty_shop_learns_clock_and_units_before_its_first_number(
    phone: Callable[..., Page], store: Store, script: bool
) -> None:
    """The phone proposes both, one choice changes either, and no hour is told in a clock that
    nobody chose."""
    with store.unit_of_work() as session:
        session.connection().exec_driver_sql("UPDATE shop SET timezone = 'Etc/UTC', units = NULL")
    thumb = Thumb(phone(script=script))
    thumb.open("/pour")
    unit = thumb.page.locator("[name='piece.length_mm.unit']")
    expect(unit).to_have_value("mm")  # as where the phone's language is spoken
    thumb.press("button", "feet, inches")
    expect(unit).to_have_value("in")
    zone = thumb.page.get_by_label("Time zone")
    expect(zone).to_have_value("America/Chicago" if script else "")
    thumb.choose("place.kind", "open yard")
    thumb.choose("mix.kind", "general-purpose")
    for measure, typed in (("length", "48"), ("width", "24"), ("thickness", "2")):
        thumb.type(f"piece.{measure}_mm", typed)
    thumb.press("button", "Poured")
    if not script:
        expect(thumb.page.locator("[id='place.timezone-w']")).to_contain_text("time zone")
        assert rows(store, Pour) == []
        zone.select_option("America/Chicago")
        thumb.press("button", "Poured")
    expect(thumb.page).to_have_url(re.compile("/pours/1$"))
    assert thumb.inputs <= FIRST_POUR_INPUTS
    (shop,) = rows(store, Shop)
    assert (shop.timezone, shop.units) == ("America/Chicago", None)  # where inches are usual
    assert rows(store, Pour)[0].poured["piece"]["length_mm"] == pytest.approx(1219.2)
