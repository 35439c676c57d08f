"""The one sheet behind +: all that is read, seen or noted, and what is asked before it counts."""

from typing import Any

import pytest
from starlette.testclient import TestClient

from models import doubt
from models.records import Reading
from service.actions.pours.take_logger import NOTE
from service.store import Store
from tests.support.phone import Page, Phone
from tests.support.rows import rows
from tests.support.shop import Hands
from tests.support.words import said


def put(phone: Phone, poured: str, **fields: str) -> Page:
    return phone.send(phone.open(f"{poured}/reading/add").form("/reading"), **fields)


@pytest.mark.parametrize(
    ("fields", "told", "saved"),
    [
        ({"kind": "air", "value_C": "9 C"}, "air: 9 °C", "saved_reading"),
        ({"kind": "concrete", "value_C": "19 C"}, "in the concrete: 19 °C", "saved_reading"),
        ({"kind": "surface", "value_C": "12 C"}, "on the face: 12 °C", "saved_reading"),
        ({"kind": "humidity", "rh_pct": "62"}, "humidity of the air: 62 %", "saved_reading"),
        ({"kind": "tile", "mass_g": "1840 g"}, "witness tile: 1840 g", "saved_reading"),
        ({"kind": "set", "set": "final-set"}, "set seen, hard", "saved_set"),
        ({"kind": "film", "film": "film-dry"}, "taped film: dry under it", "saved_dryness"),
        ({"kind": "note", "line": "a crack at the edge"}, "a crack at the edge", "saved_note"),
    ],
)
def test_each_is_put_down_on_the_same_sheet_and_taken_back(
    phone: Phone, poured: str, hands: Hands, fields: dict[str, str], told: str, saved: str
) -> None:
    hands.forward(20)
    page = put(phone, poured, **fields)
    assert said(saved) in page.text
    assert told in page.text
    page = phone.send(page.form("/remove", "Undo"))
    assert told not in page.text


def test_what_is_left_of_another_choice_is_of_no_account(
    phone: Phone, poured: str, hands: Hands, store: Store
) -> None:
    hands.forward(20)
    put(phone, poured, kind="set", value_C="garbage", mass_g="no", rh_pct="x", line="left")
    (row,) = rows(store, Reading)
    assert (row.kind, row.mass_g, row.rh_pct, row.note) == ("initial-set", None, None, "")


def test_a_photo_is_kept_from_the_sheet(
    phone: Phone, poured: str, picture: object, client: TestClient
) -> None:
    page = phone.open(f"{poured}/reading/add")
    sheet = page.form("/photos", "Keep the photo")
    assert callable(picture)
    answer = client.post(
        sheet.action,
        data={"key": sheet.fields["key"][0]},
        files={"photo": ("slab.jpg", picture("jpg"), "image/jpeg")},
    )
    assert said("saved_photo") in Page(answer.text).text
    page = put(phone, poured, kind="photo")
    assert phone.status == 422
    assert "Keep the photo" in page.notes["kind"]
    assert phone.send(page.form("/reading"), kind="note").notes["line"]


def test_what_was_read_last_of_each_kind_stands_on_the_sheet(
    phone: Phone, poured: str, hands: Hands
) -> None:
    hands.forward(20)
    for fields in (
        {"kind": "air", "value_C": "8 C"},
        {"kind": "tile", "mass_g": "1840"},
        {"kind": "film", "film": "film-wet"},
        {"kind": "set", "set": "initial-set"},
    ):
        put(phone, poured, **fields)
    hands.forward(2)
    put(phone, poured, kind="air", value_C="6 C")
    page = phone.open(f"{poured}/reading/add")
    assert page.form("/reading").fields["kind"] == ["air"]
    for words in ("air 6 °C, now", "witness tile 1840 g, 2 h ago", "taped film: water"):
        assert words in page.text
    assert "air 8 °C" not in page.text
    assert "set seen, firm" in page.text


@pytest.mark.parametrize(
    "by",
    [{"instrument": "Probe"}, {"wrong": True}, {"note": NOTE}],
    ids=["instrument", "wrong", "logger"],
)
def test_the_sheet_opens_at_what_a_person_read_last_and_no_instrument(
    phone: Phone, poured: str, hands: Hands, store: Store, by: dict[str, Any]
) -> None:
    """In the yard it stood at air since a probe had spoken, and 12 of the core became the air's."""
    hands.forward(20)
    put(phone, poured, kind="concrete", value_C="12 C")
    hands.forward(1)
    with store.unit_of_work() as session:
        values: dict[str, Any] = {
            "kind": "air",
            "value_C": 9.0,
            "at": hands.now,
            "created_at": hands.now,
        }
        pour_id = int(poured.rpartition("/")[2])
        session.add(Reading(pour_id=pour_id, place_id=1, **values, **by))
    page = phone.open(f"{poured}/reading/add")
    assert page.form("/reading").fields["kind"] == ["concrete"]


@pytest.mark.parametrize(
    ("fields", "asked"),
    [
        ({"kind": "tile", "mass_g": "62"}, "62 oz would be"),  # ounces under grams
        ({"kind": "tile", "mass_g": "1104"}, "look at the figure"),  # a digit that slipped
        ({"kind": "humidity", "rh_pct": "8"}, "look at the figure"),
        ({"kind": "air", "value_C": "48"}, "48 °F would be"),
    ],
)
def test_what_cannot_well_be_is_asked_about_and_stored_once_it_is_so(
    phone: Phone, poured: str, hands: Hands, store: Store, fields: dict[str, str], asked: str
) -> None:
    hands.forward(20)
    put(phone, poured, kind="tile", mass_g="1840")
    page = put(phone, poured, **fields)
    assert phone.status in (409, 422)
    assert asked in page.text
    assert len(rows(store, Reading)) == 1
    sheet = page.form("/reading")
    sheet.fields["confirm"] = ["1"]
    phone.send(sheet)
    assert len(rows(store, Reading)) == 2


def test_a_tile_that_dries_is_not_asked_about() -> None:
    assert doubt.tile("mass_g", 1700.0, 1840.0) is None
    assert doubt.tile("mass_g", 1850.0, 1840.0) is None
    found = doubt.tile("mass_g", 52161.0, 1840.0)  # grams read as ounces
    assert found is not None
    assert found.other == pytest.approx(1839.9, abs=0.1)
    assert doubt.humidity("rh_pct", 20.0) is None
