"""What was assumed is marked so until a maker says that it is so, and again after an undo."""

from datetime import datetime

import pytest
from starlette.testclient import TestClient

from models.facts.cements import CLASSES
from models.records import Mix, Pour, Sealer, Shop
from service.store import Store
from tests.support.first import FIRST
from tests.support.phone import Page, Phone, Sheet
from tests.support.rows import newest, rows
from tests.support.shop import Bench
from tests.support.words import said

USUAL = CLASSES["general-purpose"]
RATIO = f"water/cement ratio: {USUAL.water_cement:g}"


@pytest.fixture
def first(phone: Phone) -> str:
    """The page of a first pour of which nothing was told but the three answers."""
    phone.send(phone.open("/pour").form("/pour"), **FIRST, town="Duluth, MN")
    assert phone.status == 200
    return phone.path


def so(page: Page, what: str) -> Sheet:
    (sheet,) = (one for one in page.forms if one.fields.get("what") == [what])
    return sheet


def test_one_value_is_confirmed_counts_as_told_and_is_assumed_again_after_undo(
    phone: Phone, store: Store, first: str
) -> None:
    page = phone.open(first)
    assert RATIO in page.text
    page = phone.send(so(page, "mix.water_cement"))
    assert said("saved_confirmed") in page.text
    assert RATIO not in page.text
    (mix,), (pour,) = rows(store, Mix), rows(store, Pour)
    assert mix.water_cement == pour.poured["mix"]["water_cement"] == USUAL.water_cement
    assert (mix.cement_kg_m3, pour.poured["mix"]["label"]) == (None, [])  # nothing else was said
    page = phone.send(page.form("/unconfirm", "Undo"))
    assert said("saved_unconfirmed") in page.text
    assert RATIO in page.text
    (mix,), (pour,) = rows(store, Mix), rows(store, Pour)
    assert mix.water_cement is pour.poured["mix"]["water_cement"] is None


def test_all_of_a_mix_is_confirmed_at_once_and_hours_come_closer_together(
    phone: Phone, store: Store, first: str, client: TestClient
) -> None:
    def doubt_s() -> float:
        answer = client.get(f"/api/v1{first}/projection").json()
        (strip,) = (one for one in answer["steps"] if one["step"] == "strip")
        hours = strip["earliest"]
        apart = datetime.fromisoformat(hours["safe"]) - datetime.fromisoformat(hours["p50"])
        return apart.total_seconds()

    before = doubt_s()
    phone.send(so(phone.open(first), "mix"))
    (mix,) = rows(store, Mix)
    assert mix.label == [{"age_h": 672.0, "MPa": USUAL.strength_MPa_28d}]
    assert (mix.initial_set_h, mix.final_set_h) == (USUAL.initial_set_h, USUAL.final_set_h)
    assert doubt_s() < before
    typed = phone.open(f"/shop/mix/{mix.id}")
    assert "Assumed until you say it" not in typed.text
    assert typed.form(f"/mix/{mix.id}").fields["mix.water_cement"] == [f"{USUAL.water_cement:g}"]


def test_on_the_page_of_a_sealer_a_pour_is_ticked_or_stays_as_it_was(
    phone: Phone, store: Store, bench: Bench, poured: str
) -> None:
    page = phone.open(f"/shop/sealer/{bench.sealer_id}")
    sheet = page.form("/confirm")
    values = [value for _, name, value in sheet.buttons if name == "what"]
    assert {"sealer.max_rh_pct", "sealer"} < set(values)
    sheet.fields["what"] = ["sealer.max_rh_pct"]
    page = phone.send(sheet, apply_to_pours=[])
    (sealer,) = rows(store, Sealer)
    assert sealer.max_rh_pct is not None
    assert newest(store, Pour).poured["sealer"]["max_rh_pct"] is None
    sheet = phone.open(f"/shop/sealer/{bench.sealer_id}").form("/confirm")
    sheet.fields["what"] = ["sealer"]
    phone.send(sheet)
    (sealer,) = rows(store, Sealer)
    kept = newest(store, Pour).poured["sealer"]
    assert kept["max_rh_pct"] == sealer.max_rh_pct
    assert None not in (sealer.coats, sealer.min_C, kept["coats"], kept["min_C"])
    assert "what its sheet says" not in phone.open(poured).text
    assert "what its sheet says" not in phone.open(f"{poured}/record").text


def test_a_value_told_anew_meanwhile_survives_the_undo(
    phone: Phone, store: Store, first: str
) -> None:
    page = phone.send(so(phone.open(first), "mix.cement_kg_m3"))
    undo = page.form("/unconfirm", "Undo")
    (mix,) = rows(store, Mix)
    page = phone.open(f"/shop/mix/{mix.id}")
    phone.send(page.form(f"/mix/{mix.id}"), mix__cement_kg_m3="380 kg/m3")
    phone.send(undo)
    (mix,), (pour,) = rows(store, Mix), rows(store, Pour)
    assert (mix.cement_kg_m3, pour.poured["mix"]["cement_kg_m3"]) == (380.0, None)


def test_covers_of_the_shop_are_confirmed_from_a_pour(
    phone: Phone, store: Store, first: str
) -> None:
    page = phone.send(so(phone.open(first), "shop.protection"))
    (shop,) = rows(store, Shop)
    assert [one["kind"] for one in shop.covers] == ["film", "blanket"]
    phone.send(page.form("/unconfirm", "Undo"))
    (shop,) = rows(store, Shop)
    assert shop.covers == []


def test_what_is_assumed_no_more_is_refused_in_words(phone: Phone, first: str) -> None:
    sheet = so(phone.open(first), "mix.water_cement")
    phone.send(sheet)
    phone.send(sheet, key="another")
    assert phone.status == 422
    assert "assumed no more" in phone.page.text
    phone.send(sheet, key="a third", what="moon.cheese")
    assert phone.status == 404
