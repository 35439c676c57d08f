"""The page of a place and of a mix says what was learned, and lets it be forgotten."""

from datetime import datetime

import pytest
from starlette.testclient import TestClient

from models.records import Mix, Place
from service.store import Store
from tests.support.phone import Phone
from tests.support.words import said, tells

OF_PLACE = {
    "learned_lag_h": 7.2,
    "learned_lag_spread": 0.3,
    "learned_offset_K": 3.1,
    "learned_offset_sd_K": 0.8,
    "learned_from_count": 6,
    "kind": "unheated room",
}
OF_MIX = {
    "learned_strength_factor": 0.87,
    "learned_strength_sd": 0.08,
    "learned_set_factor": 1.2,
    "learned_set_sd": 0.1,
    "learned_from_count": 1,
}


def calibrate(
    store: Store, table: type[Mix] | type[Place], now: datetime, **values: object
) -> None:
    with store.unit_of_work() as session:
        row = session.get(table, 1)
        for name, value in {"learned_at": now, **values}.items():
            setattr(row, name, value)
        session.add(row)


@pytest.mark.usefixtures("bench")
def test_the_page_of_a_garage_says_how_it_runs_until_it_is_forgotten(
    phone: Phone, store: Store, now: datetime
) -> None:
    assert "Learned" not in phone.open("/shop/place/1").text
    calibrate(store, Place, now, **OF_PLACE)
    page = phone.open("/shop/place/1")
    assert (
        "Learned from 6 readings: 3.1 °C warmer than outdoors, give or take 0.8 °C, about 7 h late."
        " Used from the next pour on." in page.text
    )
    after = phone.send(page.form("/forget", "Forget it"))
    assert (phone.status, phone.path) == (200, "/shop/place/1")
    assert "Learned" not in after.text


@pytest.mark.usefixtures("bench")
def test_a_yard_has_no_lag_and_what_was_typed_goes_first(
    phone: Phone, store: Store, now: datetime
) -> None:
    yard = {**OF_PLACE, "learned_lag_h": None, "learned_offset_K": -1.2, "kind": "covered"}
    calibrate(store, Place, now, **yard, offset_K=0.0)
    text = phone.open("/shop/place/1").text
    assert (
        "1.2 °C colder than outdoors, give or take 0.8 °C. The offset you typed goes first." in text
    )


def lead_score(from_h: float, to_h: float, days: int, bias_K: float) -> dict[str, float]:
    return {
        "from_h": from_h,
        "to_h": to_h,
        "days": days,
        "bias_K": bias_K / 2,
        "factor": 1.1,
        "seen_bias_K": bias_K,
        "seen_sd_K": 1.9,
        "inside_80": 0.8,
    }


@pytest.mark.usefixtures("bench")
def test_the_page_of_a_place_says_how_forecasts_for_it_run(
    phone: Phone, store: Store, now: datetime
) -> None:
    scored = [lead_score(0, 12, 41, 0.01), lead_score(24, 48, 41, 1.2), lead_score(48, 96, 6, 3.0)]
    calibrate(store, Place, now, learned_forecast=scored)
    text = phone.open("/shop/place/1").text
    assert "Forecasts for this place, against what came:" in text
    assert "0–12 h ahead they run true, give or take 1.9 °C; from 41 days." in text
    assert (
        "24–48 h ahead they run 1.2 °C warm, give or take 1.9 °C; from 41 days. Taken off:"
        " 0.6 °C." in text
    )
    assert "48–96" not in text  # under a week of days says nothing yet
    assert "readings" not in text


@pytest.mark.usefixtures("bench")
def test_the_page_of_a_mix_says_how_strong_and_how_late_it_is(
    phone: Phone, store: Store, now: datetime
) -> None:
    calibrate(store, Mix, now, **OF_MIX)
    page = phone.open("/shop/mix/1")
    assert (
        "Learned from 1 pour result: 13% weaker than its label says (±8 %),"
        " takes 20% longer to set." in page.text
    )
    assert "Learned" not in phone.send(page.form("/forget", "Forget it")).text


@pytest.mark.usefixtures("bench")
def test_saving_the_form_of_a_taught_place_keeps_what_it_taught(
    phone: Phone, store: Store, now: datetime
) -> None:
    calibrate(store, Place, now, **OF_PLACE)
    phone.send(phone.open("/shop/place/1").form("/shop/place/1"), place__name="Old garage")
    assert "Learned from 6 readings" in phone.open("/shop/place/1").text


@pytest.mark.usefixtures("bench")
def test_a_piece_has_nothing_to_forget(phone: Phone, client: TestClient) -> None:
    key = phone.open("/shop/place/1").form("/shop/place/1").fields["key"][0]
    assert client.post("/shop/piece/1/forget", data={"key": key}).status_code == 404
    assert client.post("/shop/place/99/forget", data={"key": key}).status_code == 404


@pytest.mark.usefixtures("bench")
def test_a_place_without_readings_says_how_many_it_needs(
    phone: Phone, client: TestClient, store: Store, now: datetime
) -> None:
    page = phone.open("/shop/place/1").text
    assert tells(page, "lacking_so_far", why=said("no_readings"))
    assert tells(page, "get_readings", readings="2")
    assert client.post("/api/v1/places/1/weather/refresh").status_code == 201
    phone.send(phone.open("/pour").form("/pour"))
    reading = {"at": now.isoformat(), "kind": "air-min-max", "value_C": 3.0, "value_max_C": 9.0}
    assert client.post("/api/v1/pours/1/readings", json=reading).status_code == 201
    page = phone.open("/shop/place/1").text
    assert tells(page, "lacking_so_far", why=said("too_few_readings", readings=1.0))
    assert tells(page, "get_readings", readings="1")
    calibrate(store, Place, now, **OF_PLACE)
    assert "Nothing learned yet" not in phone.open("/shop/place/1").text
