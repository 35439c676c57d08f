"""Boxes for numbers: the reader's unit beside them, and what was stored comes back as it was."""

from dataclasses import replace

import pytest
from sqlmodel import Session
from starlette.testclient import TestClient

from models import quantity
from models.errors import InputError
from models.records import Mix, Piece
from service.nouns import mix
from service.nouns.form import Control, Form
from service.nouns.units import CHOICES, either, keyboard, parted, sign, units_for
from service.store import Store
from service.words.reader import PLAIN, SI, US, Reader
from tests.support.phone import Phone

AMERICAN = replace(
    PLAIN, units=US, language="en-US", timezone="America/Chicago", hours=12, order="mdy"
)
LENGTH = Control("length_mm", "Length", dimension="length_mm")
LOW = Control("low_C", "Low", dimension="temperature_C")
YIELD = Control("yield_l", "One bag yields", dimension="volume_l", us="ft3")


@pytest.mark.parametrize("units", [SI, US])
@pytest.mark.parametrize("dimension", sorted(CHOICES))
def test_every_unit_beside_a_box_can_be_read(dimension: str, units: object) -> None:
    for unit in units_for(dimension, SI if units == SI else US):
        assert quantity.read("x", "1", dimension, bare_unit=unit) is not None
        assert parted(dimension, f"1 {unit}") == ("1", unit)
        signed = f"1 {sign(unit)}"  # as it is printed, so as it may be typed
        assert parted(dimension, signed)[0] == "1"
        of_sign = quantity.read("x", signed, dimension)
        assert of_sign == quantity.read("x", "1", dimension, bare_unit=unit)


@pytest.mark.parametrize("reader", [PLAIN, AMERICAN], ids=["SI", "US"])
def test_what_stands_in_a_box_from_the_start_is_a_number_and_is_taken(reader: Reader) -> None:
    for one in mix.controls():
        if one.dimension and one.default:
            box = Form.of([one], None, reader).box(one.name)
            sent = {one.name: [box.text], f"{one.name}.unit": [box.unit]}
            form = Form.of([one], {**sent, f"{one.name}.kept": [box.kept]}, reader)
            assert form.value(one.name) is not None, (one.name, box)
            assert not any(char.isalpha() for char in box.text), (one.name, box)


@pytest.mark.parametrize(
    ("control", "stored", "shown"),
    [
        (YIELD, "16.9901079552 l", ("0.6", "ft3")),
        (LENGTH, "38.1 mm", ("1 1/2", "in")),
        (LENGTH, "1524 mm", ("60", "in")),
        (LENGTH, "1200 mm", ("47 1/4", "in")),
        (LOW, "-6.66666666667 C", ("20", "F")),
        (LOW, "21 C", ("69.8", "F")),
        (Control("kg", "Bag", dimension="mass_kg"), "36.2873896 kg", ("80", "lb")),
        (Control("MPa", "Strength", dimension="stress_MPa"), "27.5790291727 MPa", ("4000", "psi")),
    ],
)
def test_a_stored_value_stands_in_the_readers_unit_and_reads_back_as_it_was(
    control: Control, stored: str, shown: tuple[str, str]
) -> None:
    name = control.name
    form = Form.of([control], {name: [stored]}, AMERICAN)
    box = form.box(name)
    assert (box.text, box.unit) == shown
    sent = {name: [box.text], f"{name}.unit": [box.unit], f"{name}.kept": [box.kept]}
    back = Form.of([control], sent, AMERICAN).value(name)
    assert back == pytest.approx(quantity.read(name, stored, control.dimension), rel=1e-12)
    # what was changed is what was typed, whatever stood there before
    sent[name] = ["30"]
    changed = Form.of([control], sent, AMERICAN).value(name)
    assert changed == quantity.read(name, "30", control.dimension, bare_unit=box.unit)


def test_a_metric_reader_sees_what_was_typed_in_pounds_in_kilograms() -> None:
    bag = Control("kg", "Bag", dimension="mass_kg")
    box = Form.of([bag], {"kg": ["36.2873896 kg"]}, PLAIN).box("kg")
    assert (box.text, box.unit) == ("36.29", "kg")
    sent = {"kg": [box.text], "kg.unit": ["kg"], "kg.kept": [box.kept]}
    assert Form.of([bag], sent, PLAIN).value("kg") == 36.2873896


def test_the_unit_that_was_chosen_counts_and_a_typed_one_goes_first() -> None:
    for typed, unit, value in (("20", "F", -6.66666666667), ("20", "C", 20), ("20 F", "C", -6.666)):
        form = Form.of([LOW], {"low_C": [typed], "low_C.unit": [unit]}, PLAIN)
        assert form.value("low_C") == pytest.approx(value, abs=1e-3)
    form = Form.of([LOW], {"low_C": ["20"], "low_C.unit": ["stone"]}, PLAIN)
    assert form.value("low_C") is None
    assert form.wrong or form.messages


def test_where_nobody_knows_the_unit_it_must_be_chosen() -> None:
    nobody = replace(PLAIN, untold=True)
    shown = Form.of([LOW], None, nobody)
    assert shown.fields["low_C"].unit_options[0] == ("", "unit?")
    for unit in ([], [""]):
        sent = {"low_C": ["20"], "low_C.unit": unit} if unit else {"low_C": ["20"]}
        form = Form.of([LOW], sent, nobody)
        assert form.value("low_C") is None
        assert "The unit is missing" in form.wrong["low_C"]
    chosen = Form.of([LOW], {"low_C": ["20"], "low_C.unit": ["F"]}, nobody)
    assert chosen.value("low_C") == pytest.approx(-6.667, abs=1e-3)


def test_a_hint_speaks_the_readers_unit_alone() -> None:
    assert either("36 kg or 80 lb", "mass_kg", US) == "80 lb"
    assert either("15 C or 59 F; empty: as the air", "temperature_C", SI) == (
        "15 °C; empty: as the air"
    )
    assert either("30 to 45 kJ/mol, or what a fit gave", "energy_kJ_mol", US).startswith("30 to")


@pytest.mark.parametrize(
    ("dimension", "unit", "keys"),
    [
        ("length_mm", "mm", "decimal"),
        ("length_mm", "in", "text"),  # 1 1/2
        ("temperature_C", "F", "text"),  # the script gives digits and a key for the sign
        ("mass_kg", "lb", "decimal"),
        ("percent", "", "decimal"),
    ],
)
def test_the_keyboard_can_type_what_belongs_in_the_box(
    dimension: str, unit: str, keys: str
) -> None:
    assert keyboard(dimension, unit, whole=False) == keys


def test_a_limit_is_told_in_the_unit_of_the_box() -> None:
    form = Form.of([LENGTH], {"length_mm": ["1/4"]}, AMERICAN)
    form.refuse(InputError("length_mm", 6.35, "outside the allowed range", "10 to 600 mm"))
    assert form.wrong["length_mm"] == "Not possible; give 3/8 to 23 5/8 in."


def test_an_instant_is_told_on_the_readers_clock() -> None:
    """P19: machine time in an error."""
    at = Control("at", "When", "moment")
    form = Form.of([at], {"at": ["x"]}, AMERICAN)
    allowed = "a time from 2026-11-24T22:46:35.145452+00:00 on"
    form.refuse(InputError("at", "2026-11-24T15:30:00+00:00", "before the pour", allowed))
    assert form.wrong["at"] == "Before the pour; give a time from Tue Nov 24, 4:46 pm on."


def test_saving_an_untouched_form_changes_nothing(
    phone: Phone, client: TestClient, store: Store
) -> None:
    assert client.patch("/api/v1/shop", json={"units": "us"}).status_code == 200
    piece = {"name": "Bench", "shape": "panel", "length_mm": 1201, "width_mm": 333.3}
    mix = {"name": "Bag", "kind": "general-purpose", "bag_kg": 25, "bag_yield_l": 12.3}
    assert client.post("/api/v1/pieces", json={**piece, "thickness_mm": 47}).status_code == 201
    assert client.post("/api/v1/mixes", json=mix).status_code == 201

    def rows(session: Session) -> list[object]:
        one, other = session.get(Piece, 1), session.get(Mix, 1)
        assert one is not None
        assert other is not None
        return [one.length_mm, one.width_mm, one.thickness_mm, other.bag_kg, other.bag_yield_l]

    with store.reading() as session:
        before = rows(session)
    for noun in ("piece", "mix"):
        page = phone.open(f"/shop/{noun}/1")
        phone.send(page.form(f"/shop/{noun}/1"))
        assert phone.status == 200
    with store.reading() as session:
        assert rows(session) == before


def test_what_was_understood_is_said_back(client: TestClient) -> None:
    def said(text: str, dimension: str, unit: str) -> str:
        asked = {"text": text, "dimension": dimension, "unit": unit}
        return client.get("/understood", params=asked).text

    assert said("20", "temperature_C", "F").endswith(", a hard frost")
    assert said("30", "temperature_C", "F").endswith(", frost")
    assert "1524 mm" in said("60", "length_mm", "in")
    assert "38.1 mm" in said("1 1/2 in", "length_mm", "mm")
    assert said("60", "length_mm", "mm") == "", "as the shop measures: nothing to say"
    assert said("sixty", "length_mm", "mm") == ""
    assert said("St. Louis", "town", "").startswith("St. Louis, MO, United States; clock of Am")
    assert "choose yours" in said("Springfield", "town", "")
    assert said("Nowhereville", "town", "").startswith("No town here is called so")
