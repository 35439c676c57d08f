"""Orders over the interface and the clock: put down, planned, set, poured, done."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from models.planning import courses, shop_plan
from scheduler.jobs import Rounds
from service.actions.windows.plan_orders import plan_orders
from service.store import Store
from tests.support.raw import JsonDict
from tests.support.shop import Bench, Hands

API = "/api/v1"


@pytest.fixture
def order(client: TestClient, bench: Bench, now: datetime) -> JsonDict:
    """Two of the bench's piece, wanted in two weeks."""
    mould = client.get(f"{API}/moulds/{bench.mould_id}").json()
    told = {name: mould[name] for name in ("name", "material", "thickness_mm")}
    told["piece_id"] = bench.piece_id
    assert client.put(f"{API}/moulds/{bench.mould_id}", json=told).status_code == 200
    assert client.patch(f"{API}/shop", json={"hands": 2}).status_code == 200
    part = {"piece_id": bench.piece_id, "count": 2, "mix_id": bench.mix_id}
    made = client.post(
        f"{API}/orders",
        json={
            "name": "Fair",
            "due_at": (now + timedelta(days=14)).isoformat(),
            "parts": [part | {"place_id": bench.place_id}],
        },
    )
    assert made.status_code == 201, made.text
    row: JsonDict = made.json()
    return row


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Few starts and few members; what one thing more would gain the science's own tests try."""
    monkeypatch.setattr(shop_plan, "_gains", lambda *_: ())
    monkeypatch.setattr(courses, "DAYS", 7)
    monkeypatch.setattr(courses, "MEMBERS", 16)


def test_an_order_is_planned_by_the_clock_and_told_with_its_chance(
    client: TestClient, order: JsonDict, rounds: Rounds, hands: Hands
) -> None:
    assert client.get(f"{API}/orders").json() == [order]
    before = client.get(f"{API}/orders/plan").json()
    assert (before["plan"], before["due"]) == (None, True)
    rounds.refresh(hands.now)
    assert rounds.plan(hands.now) == 1
    assert rounds.plan(hands.now) == 0
    stands = client.get(f"{API}/orders/plan").json()
    assert (stands["due"], stands["failure"]) == (False, "")
    plan = stands["plan"]
    assert [one["piece"]["number"] for one in plan["poured"]] == [1, 2]
    first, second = plan["poured"]
    assert first["mould"] == second["mould"]
    assert datetime.fromisoformat(second["at"]) >= datetime.fromisoformat(first["free_at"])
    (promise,) = plan["promises"]
    assert promise["order"] == "Fair"
    assert 0 <= promise["late"] <= 1
    assert promise["at_even"] is not None
    assert {act["act"] for act in plan["acts"]} == {"pour", "strip", "turn", "finish"}


def test_a_pour_that_is_set_stays_and_what_moved_says_from_where(
    client: TestClient, store: Store, order: JsonDict, rounds: Rounds, bench: Bench, hands: Hands
) -> None:
    rounds.refresh(hands.now)
    first = plan_orders(store, hands.now)
    assert first is not None
    later = first.poured[1].at + timedelta(days=2)
    pin = {"piece_id": bench.piece_id, "number": 1, "mould_id": bench.mould_id}
    made = client.post(
        f"{API}/orders/{order['id']}/pins", json={**pin, "start_at": later.isoformat()}
    )
    assert made.status_code == 201, made.text
    second = plan_orders(store, hands.now)
    assert second is not None
    (pinned,) = [one for one in second.poured if one.pinned]
    assert pinned.at == later
    assert {one.piece.number for one in second.moved} >= {1}
    assert all(one.why for one in second.moved)
    pins = client.get(f"{API}/orders/{order['id']}/pins").json()
    gone = client.delete(f"{API}/orders/{order['id']}/pins/{pins[0]['id']}")
    assert gone.status_code == 204
    wrong = client.post(
        f"{API}/orders/{order['id']}/pins",
        json={**pin, "number": 3, "start_at": later.isoformat()},
    )
    assert wrong.status_code == 422
    assert "2" in wrong.text


def test_a_mould_that_holds_a_pour_is_planned_only_from_when_it_is_free(
    client: TestClient, store: Store, order: JsonDict, rounds: Rounds, bench: Bench, hands: Hands
) -> None:
    del order
    rounds.refresh(hands.now)
    names = ("mix_id", "piece_id", "place_id", "mould_id")
    wanted = {name: getattr(bench, name) for name in names}
    assert client.post(f"{API}/pours", json=wanted).status_code == 201
    plan = plan_orders(store, hands.now)
    assert plan is not None
    assert len(plan.poured) == 1, "one of the two is poured already"
    steps = client.get(f"{API}/pours/1/projection").json()["steps"]
    strip = next(one for one in steps if one["step"] == "strip")["earliest"]["safe"]
    assert plan.poured[0].at > datetime.fromisoformat(strip)


def test_without_weather_nothing_is_promised(
    client: TestClient, store: Store, order: JsonDict, hands: Hands
) -> None:
    plan = plan_orders(store, hands.now)
    assert plan is not None
    assert plan.poured == []
    assert [one.late for one in plan.promises] == [None]
    assert all(one.why for one in plan.left_out)
    done = client.post(f"{API}/orders/{order['id']}/archive")
    assert done.status_code == 200
    empty = plan_orders(store, hands.now)
    assert empty is not None
    assert [one.code for one in empty.lack_codes] == ["plan_no_orders"]


def test_impossible_orders_are_refused_by_name(client: TestClient, bench: Bench) -> None:
    part = {"piece_id": bench.piece_id, "count": 1}
    base = {"name": "Fair", "due_at": "2026-11-01T12:00:00Z", "parts": [part]}
    for changed, field in (
        ({"parts": []}, "parts"),
        ({"parts": [{**part, "count": 0}]}, "count"),
        ({"parts": [{**part, "piece_id": 99}]}, "parts[0].piece_id"),
        ({"parts": [part, part]}, "parts[1].piece_id"),
        ({"assembly_h": "2000 h"}, "assembly_h"),
        ({"due_at": "2026-11-01T12:00:00"}, "due_at"),
    ):
        answer = client.post(f"{API}/orders", json={**base, **changed})
        assert answer.status_code == 422, changed
        assert field in answer.text, changed
