"""What cannot be is said beside its field, with what is allowed; what was typed stays."""

import pytest
from sqlmodel import SQLModel

from models.records import Piece, Place, Pour, Reading
from service.pages.view import title
from service.store import Store
from tests.support.first import FIRST
from tests.support.phone import Phone
from tests.support.rows import rows


def count(store: Store, table: type[SQLModel]) -> int:
    return len(rows(store, table))


@pytest.mark.parametrize(
    ("name", "typed", "told"),
    [
        ("piece.thickness_mm", "5 mm", "give 10 to 600 mm"),
        ("piece.length_mm", "12 stone", "Not a unit of this; give a number of mm"),
        ("piece.length_mm", "", "Empty; give a number of mm"),
        ("piece.width_mm", "nan", "Not a number; give a number of mm"),
        ("piece.hole0.length_mm", "2 m", "Larger than the piece allows"),
        ("place.latitude", "95", "give -90 to 90"),
        ("place.timezone", "Mars/Base", "Not a known time zone"),
        ("concrete_C", "80 C", "give 1 to 50"),
        ("water_added_l", "-3 l", "give 0 to 200"),
        ("bags", "many", "as 3 or 2 1/2"),
        ("placed_at", "2027-10-14T18:00", "Too far in the future"),
        ("placed_at", "yesterday", "a date and time"),
        ("cover", "straw", "two blankets"),
        ("night_low_C", "39 F", "give both, or neither"),
        ("mix.at0.MPa", "19 MPa", "both boxes, or neither"),
    ],
)
def test_a_fault_stands_beside_its_field_and_nothing_is_stored_or_lost(
    phone: Phone, store: Store, name: str, typed: str, told: str
) -> None:
    form = phone.open("/pour").form("/pour")
    changed = FIRST | {name: typed, "note": "kept", "piece.hole0.width_mm": ""}
    if name == "place.latitude":
        changed["place.longitude"] = "10"
    if name == "piece.hole0.length_mm":
        changed["piece.hole0.width_mm"] = "300"
    page = phone.send(form, **changed)
    assert phone.status == 422
    notes = " ".join(page.notes.values())
    assert told in notes, page.notes
    wanted = {"night_low_C": "day_high_C", "mix.at0.MPa": "mix.at0.age_h"}.get(name, name)
    assert wanted in page.notes
    again = page.form("/pour")
    assert again.fields["note"] == ["kept"]
    if name != "cover":
        assert again.fields[name] == [typed]
    assert count(store, Pour) == count(store, Piece) == count(store, Place) == 0


def test_all_faults_are_told_at_once(phone: Phone) -> None:
    wrong = FIRST | {"piece__length_mm": "x", "concrete_C": "y"}
    page = phone.send(phone.open("/pour").form("/pour"), **wrong)
    assert set(page.notes) == {"piece.length_mm", "concrete_C"}


def test_the_form_that_was_mended_is_taken(phone: Phone, store: Store) -> None:
    page = phone.send(phone.open("/pour").form("/pour"), **FIRST | {"piece__thickness_mm": "5 mm"})
    phone.send(page.form("/pour"), piece__thickness_mm="50 mm")
    assert phone.status == 200
    assert count(store, Pour) == 1


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"value_C": ""}, "value_C", "has a value; give -50 to 95 °C"),
        (
            {"value_C": "60", "value_max_C": "50"},
            "value_max_C",
            "Below the low; give 60 °C or more",
        ),
        ({"value_C": "4"}, "value_max_C", "needs both ends"),
        ({"kind": "concrete", "value_C": "120 C"}, "value_C", "-50 to 95"),
        ({"value_C": "4", "value_max_C": "9", "span_h": "9 d"}, "span_h", "1 to 48"),
        ({"value_C": "4", "value_max_C": "9", "at": "2026-10-15T18:00"}, "at", "in the future"),
        (
            {"value_C": "4", "value_max_C": "9", "at": "2026-10-12T18:00"},
            "at",
            "Before the pour; give a time from 18:00 on",
        ),
    ],
)
def test_a_reading_that_cannot_be_is_refused_beside_its_field(
    phone: Phone, store: Store, poured: str, typed: dict[str, str], field: str, told: str
) -> None:
    page = phone.send(phone.open(f"{poured}/reading/add").form("/reading"), **typed)
    assert phone.status == 422
    assert told in page.notes[field]
    assert count(store, Reading) == 0


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"mass_g": ""}, "A tile is weighed"),
        ({"mass_g": "3 g"}, "20 to 500000 g"),
        ({"mass_g": "2 psi"}, "1840 g"),
    ],
)
def test_a_tile_that_cannot_be_is_refused_beside_its_field(
    phone: Phone, store: Store, poured: str, typed: dict[str, str], told: str
) -> None:
    page = phone.send(phone.open(f"{poured}/dryness/add").form("/dryness"), **typed)
    assert phone.status == 422
    assert told in page.notes["mass_g"]
    assert count(store, Reading) == 0


def test_a_heated_enclosure_needs_its_temperature(phone: Phone, poured: str) -> None:
    form = phone.open(f"{poured}/cover/add").form("/cover")
    page = phone.send(form, kind="heated enclosure", setpoint_C="")
    assert phone.status == 422
    assert "needs its temperature" in page.notes["setpoint_C"]


def test_a_step_marked_before_the_pour_comes_back_with_its_time(phone: Phone, poured: str) -> None:
    form = phone.open(f"{poured}/steps").form("/steps")
    page = phone.send(form, title("strip"), at="2026-10-10T07:00")
    assert phone.status == 422
    assert "Before the pour; give a time from 18:00 on" in page.notes["at"]  # of the shop's clock
    assert page.form("/steps").fields["at"] == ["2026-10-10T07:00"]


def test_markup_in_a_name_is_only_text(phone: Phone) -> None:
    name = '<b onclick="x()">Bench</b>'
    page = phone.send(phone.open("/pour").form("/pour"), **FIRST, piece__name=name)
    assert phone.status == 200
    assert name in page.text
    assert page.alone == []


@pytest.mark.parametrize(
    "path",
    [
        "/pours/99",
        "/pours/x",
        "/pours/1/nothing/add",
        "/shop/tool/new",
        "/shop/piece/77",
        "/pours/99999999999",
    ],
)
@pytest.mark.usefixtures("poured")
def test_an_address_where_nothing_is_leads_back(phone: Phone, path: str) -> None:
    page = phone.open(path)
    assert phone.status == 404
    assert "Not found" in page.text
    assert "/" in page.links
