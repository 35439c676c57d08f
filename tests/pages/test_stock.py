"""The stock: what is to be bought, what is past its date, what the frost would take."""

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import event
from starlette.testclient import TestClient

from models.errors import InputError
from service.actions.shop import stock
from service.store import Store
from tests.support.phone import Phone
from tests.support.shop import Bench, Hands, Sky


def add(client: TestClient, **row: Any) -> int:
    answer = client.post("/api/v1/stock", json=row)
    assert answer.status_code == 201, answer.text
    return int(answer.json()["id"])


def bagged(client: TestClient, bench: Bench, hands: Hands) -> int:
    """A mix of bags, of which a pour is planned for tomorrow."""
    row = {"class": "general-purpose", "name": "Grey", "bag_kg": 36, "bag_yield_l": 17}
    mix = int(client.post("/api/v1/mixes", json=row).json()["id"])
    keys = {"piece_id": bench.piece_id, "place_id": bench.place_id, "mix_id": mix}
    at = (hands.now + timedelta(days=1)).isoformat()
    assert client.post("/api/v1/pours", json={**keys, "placed_at": at}).status_code == 201
    return mix


def test_the_list_is_the_plan_less_what_is_there_and_not_past_its_date(
    client: TestClient, bench: Bench, hands: Hands
) -> None:
    mix = bagged(client, bench, hands)
    need = client.get("/api/v1/shopping-list").json()["needs"][0]
    assert (need["kind"], need["have"], need["buy"]) == ("bag", 0.0, need["need"])
    assert need["need"] >= 1
    add(client, kind="bag", name="Grey", amount=1, mix_id=mix, best_before="2030-01-31")
    old = add(client, kind="bag", name="Grey", amount=50, mix_id=mix, best_before="2020-01-31")
    told = client.get("/api/v1/shopping-list").json()
    assert told["past"] == [old]
    assert told["needs"][0]["buy"] == need["need"] - 1


def test_what_orders_still_ask_for_is_bought_too_and_counted_once(
    client: TestClient, phone: Phone, bench: Bench, hands: Hands
) -> None:
    def bags() -> float:
        told = client.get("/api/v1/shopping-list").json()
        assert told["orders"] == []
        return sum(float(one["need"]) for one in told["needs"] if one["kind"] == "bag")

    mix = bagged(client, bench, hands)
    one = bags()
    part = {"piece_id": bench.piece_id, "count": 3, "mix_id": mix, "place_id": bench.place_id}
    due = (hands.now + timedelta(days=60)).isoformat()
    order = {"name": "Three", "due_at": due, "parts": [part]}
    assert client.post("/api/v1/orders", json=order).status_code == 201
    assert bags() == 3 * one  # the pour that is planned is one of them
    assert "orders still ask for" in phone.open("/stock").text


def test_an_order_that_lacks_a_mix_is_named(client: TestClient, phone: Phone) -> None:
    piece = {"name": "Slab", "shape": "panel", "length_mm": 900, "width_mm": 500}
    key = client.post("/api/v1/pieces", json={**piece, "thickness_mm": 40}).json()["id"]
    order = {"name": "No mix yet", "due_at": "2030-01-01T10:00:00Z"}
    sent = client.post("/api/v1/orders", json={**order, "parts": [{"piece_id": key, "count": 1}]})
    assert sent.status_code == 201, sent.text
    (untold,) = client.get("/api/v1/shopping-list").json()["orders"]
    assert (untold["order_id"], untold["name"]) == (sent.json()["id"], "No mix yet")
    assert f"/orders/{sent.json()['id']}" in phone.open("/stock").links


def statements(client: TestClient, store: Store) -> int:
    """How often the list asks the database."""
    heard: list[str] = []

    def hear(_conn: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        heard.append(statement)

    event.listen(store.engine, "before_cursor_execute", hear)
    assert client.get("/api/v1/shopping-list").status_code == 200
    event.remove(store.engine, "before_cursor_execute", hear)
    return len(heard)


def test_the_list_asks_no_more_often_for_twenty_kinds_that_are_ordered_than_for_two(
    client: TestClient, bench: Bench, hands: Hands, store: Store
) -> None:
    """Each with a mix and a sealer of its own; every third was poured before."""
    due = (hands.now + timedelta(days=60)).isoformat()
    flat = {"shape": "panel", "length_mm": 900, "width_mm": 500, "thickness_mm": 40}
    bags = {"class": "general-purpose", "bag_kg": 36, "bag_yield_l": 17}
    counts, parts = [], []
    for k in range(20):
        mix = client.post("/api/v1/mixes", json={**bags, "name": f"M{k}"}).json()["id"]
        piece = client.post("/api/v1/pieces", json={**flat, "name": f"Slab {k}"}).json()["id"]
        wax = {"name": f"W{k}", "chemistry": "wax"}
        keys = {"sealer_id": client.post("/api/v1/sealers", json=wax).json()["id"]}
        if k % 3:
            keys |= {"mix_id": mix, "place_id": bench.place_id}
        else:
            pour = {"piece_id": piece, "mix_id": mix, "place_id": bench.place_id}
            pour_id = client.post("/api/v1/pours", json=pour).json()["id"]
            client.post(f"/api/v1/pours/{pour_id}/close")
        parts.append({"piece_id": piece, "count": 1, **keys})
        if k in (1, 10, 19):
            hands.forward(1.0)  # what was poured before it is none of it
            order = {"name": f"Order {k}", "due_at": due, "parts": parts}
            assert client.post("/api/v1/orders", json=order).status_code == 201
            parts = []
            counts.append(statements(client, store))
    told = client.get("/api/v1/shopping-list").json()
    assert {one["name"] for one in told["needs"] if one["kind"] == "bag"} >= {"M0", "M1", "M19"}
    assert counts[0] == counts[-1]


def test_the_list_asks_the_database_no_more_often_for_many_pours(
    client: TestClient, bench: Bench, hands: Hands, store: Store
) -> None:
    bagged(client, bench, hands)
    once = statements(client, store)
    at = (hands.now + timedelta(days=1)).isoformat()
    keys = {"piece_id": bench.piece_id, "place_id": bench.place_id, "placed_at": at}
    for k in range(4):
        mix = {"class": "general-purpose", "name": f"M{k}", "bag_kg": 36, "bag_yield_l": 17}
        row = client.post("/api/v1/mixes", json=mix).json()["id"]
        assert client.post("/api/v1/pours", json={**keys, "mix_id": row}).status_code == 201
    assert len(client.get("/api/v1/shopping-list").json()["needs"]) >= 5
    assert statements(client, store) == once


def test_what_is_used_up_counts_no_more_and_comes_back(
    client: TestClient, bench: Bench, hands: Hands
) -> None:
    row = add(client, kind="bag", name="Grey", amount=50, mix_id=bagged(client, bench, hands))

    def have() -> float:
        return float(client.get("/api/v1/shopping-list").json()["needs"][0]["have"])

    assert have() == 50
    client.post(f"/api/v1/stock/{row}/used-up")
    assert have() == 0
    client.post(f"/api/v1/stock/{row}/restore")
    assert have() == 50


def test_a_frost_names_what_freezes_where_it_stands(
    client: TestClient, phone: Phone, bench: Bench, sky: Sky
) -> None:
    keys = {"place_id": bench.place_id, "amount": 2}
    wet = add(client, kind="polymer", name="Latex", **keys)
    add(client, kind="bag", name="Grey", **keys)
    told = client.get("/api/v1/shopping-list").json()["cold"]
    assert [(one["stock_id"], one["lowest_C"]) for one in told] == [(wet, None)]  # no weather: said
    sky.air_C = 15.0
    client.post(f"/api/v1/places/{bench.place_id}/weather/refresh")
    assert client.get("/api/v1/shopping-list").json()["cold"] == []
    sky.air_C = -6.0
    client.post(f"/api/v1/places/{bench.place_id}/weather/refresh")
    cold = client.get("/api/v1/shopping-list").json()["cold"][0]
    assert cold["name"] == "Latex"
    assert cold["lowest_C"] < 0
    assert "Latex may freeze" in phone.open("/stock").text
    assert "Latex" in phone.open("/").text


def test_stock_is_written_down_on_the_phone(phone: Phone, client: TestClient) -> None:
    form = phone.open("/stock/new").form("/stock/new")
    phone.send(form, kind="sealer", name="Matt", amount="4.5", best_before="2031-05-01", lot="7")
    assert phone.status == 200
    row = client.get("/api/v1/stock").json()[0]
    assert (row["amount"], row["best_before"], row["lot"]) == (4.5, "2031-05-01", "7")
    form = phone.open(f"/stock/{row['id']}").form(f"/stock/{row['id']}")
    assert form.fields["best_before"] == ["2031-05-01"]
    phone.send(form, best_before="next spring")
    assert phone.status == 422
    assert "best_before" in phone.page.notes


def test_what_cannot_be_in_stock_is_refused(client: TestClient, bench: Bench) -> None:
    row = {"kind": "bag", "name": "Grey", "amount": 1}
    for wrong in ({"amount": -1}, {"kind": "beer"}, {"place_id": 99}, {"opened_on": "2100-01-01"}):
        answer = client.post("/api/v1/stock", json={**row, **wrong})
        assert answer.status_code == 422, wrong
        assert next(iter(wrong)) in answer.text
    assert bench.place_id


def test_one_bag_is_counted_for_one_mix_only(
    client: TestClient, bench: Bench, hands: Hands
) -> None:
    part = [
        {"kind": "cement", "name": "Grey", "kg": 10},
        {"kind": "sand", "name": "Pit", "kg": 25},
        {"kind": "water", "kg": 4.5},
    ]
    at = (hands.now + timedelta(days=1)).isoformat()
    keys = {"piece_id": bench.piece_id, "place_id": bench.place_id, "placed_at": at}
    for name in ("M1", "M2"):
        row = {"class": "general-purpose", "name": name, "recipe": part}
        mix = client.post("/api/v1/mixes", json=row).json()["id"]
        assert client.post("/api/v1/pours", json={**keys, "mix_id": mix}).status_code == 201

    def sand() -> list[dict[str, Any]]:
        told = client.get("/api/v1/shopping-list").json()["needs"]
        return [one for one in told if one["kind"] == "sand"]

    need = sand()[0]["need"]
    add(client, kind="sand", name="Pit", amount=1.5 * need)
    assert [one["need"] for one in sand()] == [need, need]
    assert sum(one["buy"] for one in sand()) == pytest.approx(0.5 * need)


def test_the_products_over_the_sealer_are_bought_too(
    client: TestClient, bench: Bench, hands: Hands
) -> None:
    wax = client.post("/api/v1/sealers", json={"name": "Wax", "chemistry": "wax"}).json()["id"]
    keys: dict[str, Any] = {"piece_id": bench.piece_id, "place_id": bench.place_id}
    keys |= {"mix_id": bench.mix_id, "sealer_id": bench.sealer_id, "sealer_then": [wax]}
    assert client.post("/api/v1/pours", json=keys).status_code == 201
    told = client.get("/api/v1/shopping-list").json()["needs"]
    sealers = [one for one in told if one["kind"] == "sealer"]
    assert len(sealers) == 2
    assert "Wax" in [one["name"] for one in sealers]
    assert all(one["need"] > 0 for one in sealers)
    assert hands.now


def test_a_pour_that_cannot_be_reckoned_is_named(
    client: TestClient, phone: Phone, pour_id: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuses(*_: object) -> None:
        raise InputError("batch_l", 1.0, "too little", "more")

    monkeypatch.setattr(stock, "amounts", refuses)
    told = client.get("/api/v1/shopping-list").json()
    assert told["needs"] == []
    assert [one["pour_id"] for one in told["unreckoned"]] == [pour_id]
    page = phone.open("/stock").text
    assert "Not in this list" in page
    assert "no pour is planned" not in page
