"""Every save of the shop, a pour, the weather and the settings is undone, and nothing else is."""

from collections.abc import Callable
from typing import Any

import pytest
from starlette.testclient import TestClient

from models.records import Mix, Mould, Owned, Piece, Place, Pour, Reading, Sealer, Shop, WeatherRun
from service.store import Store
from tests.support.phone import Page, Phone
from tests.support.rows import newest, only, rows
from tests.support.shop import Hands
from tests.support.words import said

CHANGED = {
    Piece: ("piece", {"piece__length_mm": "900 mm"}),
    Mix: ("mix", {"mix__kind": "high-early"}),
    Place: ("place", {"place__kind": "unheated room"}),
    Mould: ("mould", {"mould__thickness_mm": "30 mm"}),
    Sealer: ("sealer", {"sealer__coats": "4"}),
}
SETTINGS = "/shop/settings"


def undo(phone: Phone, page: Page) -> Page:
    """Press the Undo of what was just saved."""
    sheet = next(one for one in page.forms if ("Undo", "", "") in one.buttons)
    back = phone.send(sheet)
    assert phone.status == 200, back.text
    return back


def as_kept(store: Store, table: type[Any]) -> list[dict[str, Any]]:
    return [row.model_dump() for row in rows(store, table)]


@pytest.mark.parametrize("table", list(CHANGED), ids=lambda table: CHANGED[table][0])
@pytest.mark.parametrize("too", [False, True], ids=["from now on", "the pour too"])
def test_a_changed_thing_and_its_pours_are_as_they_were(
    phone: Phone, store: Store, poured: str, table: type[Owned], too: bool
) -> None:
    noun, fields = CHANGED[table]
    row = newest(store, table)
    before = row.model_dump(), only(store, Pour).poured
    form = phone.open(f"/shop/{noun}/{row.id}").form(f"/shop/{noun}/{row.id}", "Save")
    pours = {"apply_to_pours": poured.rpartition("/")[2]} if too and table is not Place else {}
    page = phone.send(form, **fields, **pours)
    assert said("saved_thing", name=before[0]["name"]) in page.text
    assert newest(store, table).model_dump() != before[0]
    page = undo(phone, page)
    assert said("saved_undo") in page.text
    assert (newest(store, table).model_dump(), only(store, Pour).poured) == before


def test_a_value_that_was_changed_again_meanwhile_stays(
    phone: Phone, store: Store, poured: str
) -> None:
    assert poured
    path = "/shop/piece/1"
    first = phone.send(phone.open(path).form(path, "Save"), piece__length_mm="900 mm")
    phone.send(phone.open(path).form(path, "Save"), piece__width_mm="300 mm")
    phone.send(phone.open(path).form(path, "Save"), piece__length_mm="800 mm")
    undo(phone, first)
    piece = only(store, Piece)
    assert (piece.length_mm, piece.width_mm) == (800.0, 300.0)


def test_a_new_thing_is_put_away_and_that_is_undone_too(phone: Phone, store: Store) -> None:
    form = phone.open("/shop/sealer/new").form("/new")
    page = phone.send(form, sealer__name="Oil")
    assert said("saved_new", name="Oil") in page.text
    page = undo(phone, page)
    assert only(store, Sealer).archived_at is not None
    assert said("saved_away", name="Oil") in page.text
    undo(phone, page)
    assert only(store, Sealer).archived_at is None


def test_a_correction_of_a_pour_is_undone(
    phone: Phone, store: Store, poured: str, client: TestClient
) -> None:
    other = {"name": "Other", "kind": "flowing"}
    key = client.post("/api/v1/mixes", json=other).json()["id"]
    before = as_kept(store, Pour)
    form = phone.open(f"{poured}/edit").form("/edit")
    page = phone.send(form, mix_id=str(key), placed_at="2026-10-14T17:10")
    assert only(store, Pour).mix_id == key
    undo(phone, page)
    assert as_kept(store, Pour) == before


def typed(phone: Phone, poured: str, low: str) -> Page:
    form = phone.open(f"{poured}/weather/add").form("/weather")
    return phone.send(form, night_low_C=low, day_high_C="12 C")


def test_of_two_typed_nights_the_one_that_was_just_typed_goes(
    phone: Phone, store: Store, poured: str, hands: Hands
) -> None:
    typed(phone, poured, "3 C")
    first = newest(store, WeatherRun).model_dump()
    hands.forward(1)
    page = typed(phone, poured, "1 C")
    assert said("saved_weather") in page.text
    undo(phone, page)
    assert newest(store, WeatherRun).model_dump() == first


def test_typed_temperatures_that_were_taken_back_count_again(
    phone: Phone, store: Store, pour_id: int
) -> None:
    typed(phone, f"/pours/{pour_id}", "3 C")
    before = as_kept(store, WeatherRun)
    page = phone.send(phone.open("/").form("/weather/back"))
    assert not any(run["typed"] for run in as_kept(store, WeatherRun))
    undo(phone, page)
    assert as_kept(store, WeatherRun) == before


def test_the_readings_of_a_logger_go_together(
    phone: Phone, store: Store, poured: str, hands: Hands, client: TestClient
) -> None:
    hands.forward(4)
    assert client.post(f"/api/v1{poured}/readings", json={"kind": "air", "value_C": 7.0})
    rest = as_kept(store, Reading)
    file = "time,temperature (C),humidity\n2026-10-14T19:00-05:00,8.4,81\n"
    sent = {"file": ("air.csv", file.encode(), "text/csv")}
    page = Page(client.post("/places/1/logger", files=sent, data={"key": "logger"}).text)
    page = phone.send(page.form("/keep", "Keep"), "Keep")
    assert said("saved_logger", count=2) in page.text
    assert len(as_kept(store, Reading)) == len(rest) + 2
    undo(phone, page)
    assert as_kept(store, Reading) == rest


def settings(phone: Phone, **fields: str) -> Page:
    return phone.send(phone.open(SETTINGS).form("/shop", "Save the settings"), **fields)


def test_settings_are_undone_without_what_another_page_has_changed(
    phone: Phone, store: Store
) -> None:
    name = only(store, Shop).name
    page = settings(phone, name="North yard", confidence="95")
    settings(phone, confidence="80")
    undo(phone, page)
    shop = only(store, Shop)
    assert (shop.name, shop.confidence) == (name, 0.8)


@pytest.fixture
def add(phone: Phone) -> Callable[[str], Page]:
    def one(topic: str) -> Page:
        form = phone.open(SETTINGS).form("/reminders")
        return phone.send(form, kind="ntfy", topic=topic)

    return one


def test_an_open_page_of_settings_keeps_the_address_that_another_page_adds(
    phone: Phone, store: Store, add: Callable[[str], Page]
) -> None:
    add("yard-1")
    old = phone.open(SETTINGS).form("/shop", "Save the settings")
    add("yard-2")
    phone.send(old, name="North yard")
    assert only(store, Shop).notice_addresses == ["ntfy://yard-1", "ntfy://yard-2"]


def test_an_address_that_was_added_or_removed_is_undone_by_itself(
    phone: Phone, store: Store, add: Callable[[str], Page]
) -> None:
    first = add("yard-1")
    add("yard-2")
    gone = undo(phone, first)
    assert only(store, Shop).notice_addresses == ["ntfy://yard-2"]
    assert said("saved_no_address") in gone.text
    assert "yard-1" not in gone.source
    add("yard-3")
    undo(phone, gone)
    stored = only(store, Shop).notice_addresses
    assert stored == ["ntfy://yard-2", "ntfy://yard-3", "ntfy://yard-1"]


def test_what_was_never_saved_cannot_be_undone(phone: Phone, client: TestClient) -> None:
    assert phone.open("/shop").text
    for address in ("/undo", "/shop/settings/restore"):
        assert client.post(address, data={"removal": "made up", "key": address}).status_code == 404


def test_what_was_described_on_tonight_is_put_away_again(phone: Phone, store: Store) -> None:
    form = phone.open("/tonight").form("/tonight")
    sizes = {
        "piece.length_mm": "1200 mm",
        "piece.width_mm": "400 mm",
        "piece.thickness_mm": "50 mm",
    }
    night = {"night_low_C": "8 C", "day_high_C": "15 C", "place.timezone": "America/Chicago"}
    page = phone.send(form, **sizes, **night)
    assert "Kept in the shop: Piece 1" in page.text, page.text[:400]
    phone.send(page.form("/undo"))
    kept = [*rows(store, Piece), *rows(store, Mix), *rows(store, Place)]
    assert len(kept) == 3
    assert all(row.archived_at is not None for row in kept)
    assert phone.status == 200
