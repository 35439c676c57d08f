"""Setting the shop up: every noun can be made, read again, and changed without losing a value."""

from datetime import datetime
from urllib.parse import urlsplit

import pytest
from starlette.testclient import TestClient

from models.records import Mix, Piece, Place, Sealer, Shop
from service.actions.shop.set_up_shop import save_mix
from service.store import Store
from tests.support.phone import Phone
from tests.support.rows import only
from tests.support.shop import Sky

NEW = {
    "piece": {
        "piece__name": "Sill",
        "piece__length_mm": "900",
        "piece__width_mm": "200",
        "piece__thickness_mm": "50",
    },
    "mix": {
        "mix__name": "Bag",
        "mix__at0__age_h": "7 d",
        "mix__at0__MPa": "2750 psi",
        "mix__bag_kg": "80 lb",
        "mix__kind": "glass-fibre",
        "mix__polymer_pct": "5 %",
        "mix__cement_class": "52.5N",
        "mix__colour": "light",
        "mix__bag_yield_l": "0.60 ft3",
    },
    "place": {
        "place__name": "Shed",
        "place__kind": "unheated room",
        "place__lag_h": "9 h",
        "place__hollow": "a little",
        "place__looks": "west",
    },
    "mould": {"mould__name": "Sill mould", "mould__thickness_mm": "3/4 in"},
    "sealer": {"sealer__name": "Clear", "sealer__coats": "3", "sealer__min_C": "50 F"},
}


@pytest.mark.parametrize("noun", list(NEW))
def test_a_noun_is_made_and_saved_again_without_a_change(
    phone: Phone, client: TestClient, noun: str
) -> None:
    phone.send(phone.open(f"/shop/{noun}/new").form(f"/shop/{noun}/new"), **NEW[noun])
    assert (phone.status, phone.path) == (200, "/shop")
    plural = {"mix": "mixes"}.get(noun, f"{noun}s")
    before = client.get(f"/api/v1/{plural}").json()
    assert len(before) == 1
    phone.send(phone.open(f"/shop/{noun}/1").form(f"/shop/{noun}/1"))
    assert phone.path == "/shop"
    assert client.get(f"/api/v1/{plural}").json() == before


def test_what_the_form_does_not_show_is_kept(phone: Phone, store: Store, now: datetime) -> None:
    mix = {
        "name": "Bag",
        "kind": "flowing",
        "heat_kJ_kg": 390.0,
        "datum_C": -5.0,
        "label": [{"age_h": 24.0, "MPa": 9.0, "temperature_C": 15.0}],
    }
    with store.unit_of_work() as session:
        save_mix(session, now, mix)
    phone.send(phone.open("/shop/mix/1").form("/shop/mix/1"), mix__bag_kg="25 kg")
    row = only(store, Mix)
    assert (row.heat_kJ_kg, row.datum_C, row.bag_kg) == (390.0, -5.0, 25.0)
    assert row.label == [{"age_h": 24.0, "MPa": 9.0, "temperature_C": 15.0}]


def test_a_row_still_empty_offers_its_usual_value_in_one_unit(
    phone: Phone, store: Store, now: datetime
) -> None:
    with store.unit_of_work() as session:
        save_mix(session, now, {"name": "Bag", "kind": "flowing"})
    fields = phone.open("/shop/mix/1").form("/shop/mix/1").fields
    assert fields["mix.at0.temperature_C"] in (["21"], ["70"])


def test_openings_can_be_added_and_taken_away(phone: Phone, store: Store) -> None:
    hole = {"piece__hole0__length_mm": "300", "piece__hole0__width_mm": "300"}
    phone.send(phone.open("/shop/piece/new").form("/new"), **NEW["piece"], **hole)
    assert phone.status == 422
    assert "Larger than the piece allows" in phone.page.notes["piece.hole0.width_mm"]
    phone.send(phone.page.form("/new"), piece__hole0__width_mm="100")
    assert only(store, Piece).openings == [{"length_mm": 300.0, "width_mm": 100.0}]
    phone.send(
        phone.open("/shop/piece/1").form("/1"),
        piece__hole0__length_mm="",
        piece__hole0__width_mm="",
    )
    assert only(store, Piece).openings == []


def test_two_of_one_name_are_refused_beside_the_name(phone: Phone) -> None:
    sill = NEW["piece"] | {"piece__name": "Sill"}
    phone.send(phone.open("/shop/piece/new").form("/new"), **sill)
    page = phone.send(phone.open("/shop/piece/new").form("/new"), **sill)
    assert phone.status == 422
    assert "has this name already" in page.notes["piece.name"]


def test_a_place_with_coordinates_is_given_its_forecast(
    phone: Phone, store: Store, sky: Sky
) -> None:
    phone.send(
        phone.open("/shop/place/new").form("/new"),
        place__latitude="51.50",
        place__longitude="-0.12",
        place__timezone="",
    )
    assert sky.asked == [(51.5, -0.12)]
    assert only(store, Place).kind == "open yard"


def test_rules_and_covers_of_the_shop_are_kept(phone: Phone, store: Store) -> None:
    form = phone.open("/shop/settings").form("/shop", "Save the settings")
    phone.send(
        form,
        name="North yard",
        confidence="95",
        working_from="06:30",
        covers=["film", "heated enclosure"],
        setpoint_C="59 F",
    )
    shop = only(store, Shop)
    assert (shop.name, shop.confidence, f"{shop.working_from:%H:%M}") == (
        "North yard",
        0.95,
        "06:30",
    )
    assert shop.covers == [
        {"kind": "film"},
        {"kind": "heated enclosure", "setpoint_C": 15.0},
    ]
    again = phone.open("/shop/settings").form("/shop", "Save the settings")
    assert again.fields["covers"] == ["film", "heated enclosure"]
    phone.send(again)
    assert only(store, Shop).covers == shop.covers


def test_the_calendar_address_leads_to_the_feed(phone: Phone, client: TestClient) -> None:
    """P3: it could neither be copied nor subscribed to."""
    page = phone.open("/shop/settings")
    (subscribe,) = [urlsplit(link) for link in page.links if link.endswith(".ics")]
    assert subscribe.scheme == "webcal"  # a calendar program opens it, not the browser
    assert f'value="http://{subscribe.netloc}{subscribe.path}"' in page.source  # to be copied
    assert client.get(subscribe.path).text.startswith("BEGIN:VCALENDAR")


def test_a_sealer_of_a_sheet_is_read_with_its_units(phone: Phone, store: Store) -> None:
    phone.send(
        phone.open("/shop/sealer/new").form("/new"), **NEW["sealer"], sealer__recoat_max_h="1 d"
    )
    row = only(store, Sealer)
    assert (row.coats, row.min_C, row.recoat_max_h) == (3, 10.0, 24.0)
