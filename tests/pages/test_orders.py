"""A maker puts an order down on the phone, sees the plan, sets one pour, and is done with it."""

from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from models.planning import courses, orders, shop_plan
from models.planning.shop_plan import Gain
from scheduler.jobs import Rounds
from service.actions.windows.plan_orders import gather, plan_orders
from service.store import Store
from tests.support.phone import Phone
from tests.support.shop import Bench, Hands


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Few starts and few members; one gain that the science might have found."""
    gain = Gain("hand", "", 12.0, "", 0.0)
    monkeypatch.setattr(shop_plan, "_gains", lambda *_: (gain,))
    monkeypatch.setattr(courses, "DAYS", 7)
    monkeypatch.setattr(courses, "MEMBERS", 16)


def test_from_the_order_to_the_last_pour(
    client: TestClient, store: Store, bench: Bench, rounds: Rounds, hands: Hands
) -> None:
    phone = Phone(client)
    assert "No order is open" in phone.open("/orders").text
    assert "No plan has been worked out yet" in phone.open("/orders/plan").text
    mould = phone.open(f"/shop/mould/{bench.mould_id}").form(f"/shop/mould/{bench.mould_id}")
    phone.send(mould, mould__piece_id=str(bench.piece_id))
    settings = phone.open("/shop/settings").form("/shop")
    phone.send(settings, hands="2")
    assert phone.status == 200

    form = phone.open("/orders/new").form("/orders/new")
    phone.send(form, order__name="Fair", order__parts__0__piece_id=str(bench.piece_id))
    assert phone.status == 422
    assert "Empty" in phone.page.notes["order.due_at"]
    due = hands.now + timedelta(days=14)
    told = {"order__parts__0__piece_id": str(bench.piece_id), "order__parts__0__count": "2"}
    phone.send(form, order__name="Fair", order__due_at=f"{due:%Y-%m-%dT%H:%M}", **told)
    assert phone.path == "/orders/plan"
    assert "Working out the plan" in phone.page.text

    pour = {"mix_id": bench.mix_id, "piece_id": bench.piece_id, "place_id": bench.place_id}
    assert client.post("/api/v1/pours", json=pour).status_code == 201
    rounds.refresh(hands.now)
    rounds.project(hands.now)
    hands.forward(1.0)
    plan = plan_orders(store, hands.now)
    assert plan is not None
    page = phone.open("/orders/plan")
    assert "Working out" not in page.text
    assert "Even odds" in page.text
    assert "one more pair of hands" in page.text.lower()
    assert page.source.count('class="held"') == 1, "one of the two is poured already"
    assert not page.alone
    assert any(f"/pour?piece={bench.piece_id}&mould={bench.mould_id}" in one for one in page.links)

    phone.send(page.form("/pins"))
    assert "Set: the others are planned around it." in phone.page.text
    plan_orders(store, hands.now)
    page = phone.open("/orders/plan")
    assert 'class="held pinned"' in page.source
    phone.send(page.form("/remove"))
    assert "It may move again." in phone.page.text

    assert "Sure by" in phone.open("/orders").text or "late" in phone.page.text
    order = phone.open("/orders/1")
    assert order.form("/orders/1").fields["order.name"] == ["Fair"]
    assert order.form("/orders/1").fields["order.parts.0.count"] == ["2"]
    phone.send(order.form("/archive"))
    assert "No order is open" in phone.page.text
    assert client.get("/orders/99").status_code == 404


def test_what_is_typed_into_an_order_is_stored_or_named(
    client: TestClient, bench: Bench, hands: Hands
) -> None:
    phone = Phone(client)
    due = f"{hands.now + timedelta(days=14):%Y-%m-%dT%H:%M}"
    form = phone.open("/orders/new").form("/orders/new")
    told = {"order__name": "Fair", "order__due_at": due}
    line = {"order__parts__1__piece_id": str(bench.piece_id), "order__parts__1__count": "0"}
    phone.send(form, **told, **line)
    assert phone.status == 422
    assert "order.parts.1.count" in phone.page.notes, phone.page.notes
    lost = {"order__parts__0__count": "7", "order__parts__1__count": "2"}
    phone.send(form, **told, **line | lost)
    assert phone.status == 422
    assert "order.parts.0.piece_id" in phone.page.notes
    phone.send(form, **told, **line | lost | {"order__parts__0__count": ""})
    assert phone.path == "/orders/plan"
    (order,) = client.get("/api/v1/orders").json()
    assert [one["count"] for one in order["parts"]] == [2]


def test_a_form_with_more_lines_than_are_stored_by_now_loses_none(
    client: TestClient, bench: Bench, hands: Hands
) -> None:
    due = (hands.now + timedelta(days=14)).isoformat()
    flat = {"shape": "panel", "length_mm": 600, "width_mm": 300, "thickness_mm": 40}
    made = [
        client.post("/api/v1/pieces", json={"name": name, **flat}).json()["id"] for name in "UVWXYZ"
    ]
    parts = [{"piece_id": key, "count": 1} for key in made]
    whole = {"name": "Fair", "due_at": due, "parts": parts}
    order = client.post("/api/v1/orders", json=whole).json()["id"]
    phone = Phone(client)
    form = phone.open(f"/orders/{order}").form(f"/orders/{order}")
    cut = client.put(f"/api/v1/orders/{order}", json={**whole, "parts": parts[:1]})
    assert cut.status_code == 200, cut.text
    phone.send(form, order__parts__5__count="9")
    kept = client.get(f"/api/v1/orders/{order}").json()["parts"]
    assert [one["piece_id"] for one in kept] == made
    assert kept[5]["count"] == 9
    assert bench.place_id


def test_a_set_pour_whose_hour_has_passed_is_let_go_and_no_form_stands_on_a_page_that_turns(
    client: TestClient, store: Store, bench: Bench, rounds: Rounds, hands: Hands
) -> None:
    phone = Phone(client)
    mould = phone.open(f"/shop/mould/{bench.mould_id}").form(f"/shop/mould/{bench.mould_id}")
    phone.send(mould, mould__piece_id=str(bench.piece_id))
    assert client.patch("/api/v1/shop", json={"hands": 2}).status_code == 200
    names = ("piece_id", "mix_id", "place_id")
    part = {name: getattr(bench, name) for name in names} | {"count": 1}
    due = (hands.now + timedelta(days=14)).isoformat()
    told = {"name": "Fair", "due_at": due, "parts": [part]}
    order = client.post("/api/v1/orders", json=told).json()["id"]
    rounds.refresh(hands.now)
    plan_orders(store, hands.now)
    phone.send(phone.open("/orders/plan").form("/pins"))
    assert not [one for one in phone.open("/orders/plan").forms if "/pins" in one.action]
    page = phone.open(f"/orders/{order}")
    assert "Set by you" in page.text
    assert [one for one in page.forms if "/pins/" in one.action]
    hands.forward(40)
    rounds.refresh(hands.now)
    plan = plan_orders(store, hands.now)
    assert plan is not None
    assert [one.piece.number for one in plan.left_out] == [1]
    page = phone.open("/orders/plan")
    phone.send(page.form("/remove"))
    assert "It may move again." in phone.page.text
    assert client.get(f"/api/v1/orders/{order}/pins").json() == []


def test_covers_that_lie_on_what_is_poured_are_not_there_for_the_plan(
    client: TestClient, store: Store, bench: Bench, rounds: Rounds, hands: Hands
) -> None:
    """One of three blankets lies until a told hour, one until its plan takes it off."""

    def shop() -> orders.Shop:
        with store.reading() as session:
            return gather(session, hands.now).shop

    assert (shop().covers, shop().lying) == ({}, ())
    told = client.patch("/api/v1/shop", json={"covers": [{"kind": "blanket", "count": 3}]})
    assert told.json()["covers"][0]["count"] == 3
    rounds.refresh(hands.now)
    pour = {name: getattr(bench, name) for name in ("mix_id", "piece_id", "place_id")}
    keys = [client.post("/api/v1/pours", json=pour).json()["id"] for _ in range(2)]
    until = (hands.now + timedelta(hours=20)).isoformat()
    for key, to_at in zip(keys, (until, None), strict=True):
        laid = {"kind": "blanket", "to_at": to_at}
        made = client.post(f"/api/v1/pours/{key}/protections", json=laid)
        assert made.status_code == 201, made.text
    rounds.project(hands.now)
    assert shop().covers == {"blanket": 3}
    (_, begun_h, off_h), (_, _, planned_h) = shop().lying
    assert begun_h == 0.0
    assert off_h == pytest.approx(20.0)
    assert 0 < planned_h < 24 * 28
    client.post(f"/api/v1/pours/{keys[1]}/close")
    assert len(shop().lying) == 1


def test_the_plan_counts_with_the_minutes_that_the_shop_timed(
    client: TestClient, store: Store, bench: Bench, rounds: Rounds, hands: Hands
) -> None:
    """Told with a step from page and interface, also when castclock asks whether it is done."""
    phone = Phone(client)
    usual = strip_min(store, client, bench, hands)
    pour = {name: getattr(bench, name) for name in ("mix_id", "piece_id", "place_id")}
    first, second = (client.post("/api/v1/pours", json=pour).json()["id"] for _ in range(2))
    rounds.refresh(hands.now)
    rounds.project(hands.now)
    hands.forward(1.0)
    form = phone.open(f"/pours/{first}/steps").form(f"/pours/{first}/steps")
    wrong = phone.send(form, step="strip", took_min="0")
    assert phone.status == 422
    assert "took_min" in wrong.notes
    phone.send(form, step="strip", took_min="240")
    assert "Is it done already?" in phone.page.text
    phone.send(phone.page.form(f"/pours/{first}/steps"), sure="1")
    done = f"/api/v1/pours/{second}/steps/strip/done"
    assert client.post(done, json={"took_min": 1441}).status_code == 422
    assert client.post(done, json={"took_min": 240}).json()["took_min"] == 240
    (told,) = client.get(f"/api/v1/pours/{first}/steps").json()
    assert told["took_min"] == 240
    now = strip_min(store, client, bench, hands)
    assert now == pytest.approx(usual * (240 / usual) ** 0.4)
    plan_orders(store, hands.now)
    assert "from 2 that you timed" in phone.open("/orders/plan").text
    phone.send(phone.open(f"/pours/{first}").form("/steps/strip/undo"))
    assert strip_min(store, client, bench, hands) == pytest.approx(usual * (240 / usual) ** 0.25)


def strip_min(store: Store, client: TestClient, bench: Bench, hands: Hands) -> float:
    """Of the piece of an order."""
    if not client.get("/api/v1/orders").json():
        part = {"count": 5} | {
            name: getattr(bench, name) for name in ("piece_id", "mix_id", "place_id")
        }
        due = (hands.now + timedelta(days=14)).isoformat()
        order = {"name": "Fair", "due_at": due, "parts": [part]}
        assert client.post("/api/v1/orders", json=order).status_code == 201
    with store.reading() as session:
        (kind,) = gather(session, hands.now).kinds.values()
        return kind.work.strip.minutes
