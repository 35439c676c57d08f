"""A finish told on the phone and by the interface: kept in order, refused where it cannot hold."""

import pytest
from starlette.testclient import TestClient

from tests.support.phone import Phone
from tests.support.shop import Bench
from tests.support.words import said

API = "/api/v1"


@pytest.fixture
def wax(client: TestClient) -> int:
    body = {"name": "Hard wax", "chemistry": "wax", "dwell_h": "20 min", "next_after_h": "1 d"}
    told = client.post(f"{API}/sealers", json=body)
    assert told.status_code == 201, told.text
    assert told.json()["dwell_h"] == pytest.approx(1 / 3)
    return int(told.json()["id"])


def test_what_goes_on_over_a_sealer_is_chosen_one_after_the_other(
    phone: Phone, poured: str, wax: int, client: TestClient
) -> None:
    form = phone.open(f"{poured}/edit").form(f"{poured}/edit")
    assert form.fields["then0"] == [""]
    phone.send(form, then0=str(wax))
    assert phone.status == 200
    kept = client.get(f"{API}/pours/1").json()
    assert kept["sealer_then"] == [wax]
    assert kept["poured"]["sealer_then"][str(wax)]["name"] == "Hard wax"
    plan = client.get(f"{API}/pours/1/projection").json()["coat_plan"]
    assert [one["sealer"] for one in plan["products"]] == ["water-based acrylic", "wax"]
    assert plan["products"][1]["dwell_min"] == pytest.approx(20)
    assert [one["step"] for one in plan["coats"]][-1] == plan["products"][1]["coats"][-1]
    text = phone.open(poured).text
    assert "House acrylic, then Hard wax" in text
    assert "Wax: " in text
    record = client.get(f"{API}/pours/1/record").json()
    assert [one["name"] for one in record["sealer"]["products"]] == ["House acrylic", "Hard wax"]
    assert "Hard wax (wax), 2 coats" in phone.open(f"{poured}/record").text
    care = phone.open(f"{poured}/care").text
    assert "water-based acrylic, then wax" in care
    assert said("care_heat.wax") in care
    again = phone.open(f"{poured}/edit").form(f"{poured}/edit")
    assert again.fields["then0"] == [str(wax)]
    phone.send(again, then0="")
    assert client.get(f"{API}/pours/1").json()["sealer_then"] == []


def test_a_film_over_wax_is_refused_and_nothing_is_changed(
    phone: Phone, poured: str, wax: int, client: TestClient, bench: Bench
) -> None:
    form = phone.open(f"{poured}/edit").form(f"{poured}/edit")
    page = phone.send(form, sealer_id=str(wax), then0=str(bench.sealer_id))
    assert phone.status == 422
    assert "Water-based-acrylic over wax" in page.text
    body = {"sealer_id": wax, "sealer_then": [bench.sealer_id]}
    told = client.patch(f"{API}/pours/1", json=body)
    assert told.status_code == 422
    (error,) = told.json()["errors"]
    assert error["field"] == "sealer_then"
    assert error["wrong"] == "water-based-acrylic over wax"
    assert client.get(f"{API}/pours/1").json()["sealer_id"] == bench.sealer_id


@pytest.mark.usefixtures("poured")
def test_a_product_over_no_sealer_or_not_there_is_refused(client: TestClient, wax: int) -> None:
    for body in ({"sealer_id": None, "sealer_then": [wax]}, {"sealer_then": [77]}):
        told = client.patch(f"{API}/pours/1", json=body)
        assert told.status_code in (404, 422), told.text
        assert told.json()["errors"][0]["field"] == "sealer_then"


def test_a_shop_with_one_sealer_is_asked_for_no_more(phone: Phone, poured: str) -> None:
    assert "then0" not in phone.open(f"{poured}/edit").form(f"{poured}/edit").fields
