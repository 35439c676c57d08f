"""Orders over the interface and the clock: put down, planned, set, poured, done."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from models.errors import WeatherUnavailable
from models.planning import courses, shop_plan
from scheduler.jobs import Rounds
from service.actions.pours.log_pour import close_pour
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.windows.plan_orders import gather, plan_orders
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
    before = client.get(f"{API}/order-plan").json()
    assert (before["plan"], before["due"]) == (None, True)
    rounds.refresh(hands.now)
    assert rounds.plan(hands.now) == 1
    assert rounds.plan(hands.now) == 0
    stands = client.get(f"{API}/order-plan").json()
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


def keys(bench: Bench) -> JsonDict:
    return {name: getattr(bench, name) for name in ("mix_id", "piece_id", "place_id")}


def put_down(client: TestClient, bench: Bench, name: str, due: datetime, **more: object) -> int:
    part = keys(bench) | {"count": 2} | more
    told = {"name": name, "due_at": due.isoformat(), "parts": [part]}
    made = client.post(f"{API}/orders", json=told)
    assert made.status_code == 201, made.text
    return int(made.json()["id"])


def test_the_plan_waits_as_long_as_the_register_of_moulds_says(
    client: TestClient,
    store: Store,
    order: JsonDict,
    rounds: Rounds,
    bench: Bench,
    hands: Hands,
    now: datetime,
) -> None:
    del order
    path = f"{API}/moulds/{bench.mould_id}"
    mould = client.get(path).json()
    told = {name: mould[name] for name in ("name", "material", "thickness_mm", "piece_id")}
    assert client.put(path, json={**told, "turnaround_h": 60}).status_code == 200
    hands.now = now - timedelta(hours=80)
    poured = client.post(f"{API}/pours", json=keys(bench) | {"mould_id": bench.mould_id}).json()
    hands.now = now
    with store.unit_of_work() as session:
        mark_step_done(session, now, poured["id"], "strip", now)
    rounds.refresh(now)
    free = datetime.fromisoformat(client.get(f"{path}/standing").json()["free_at"])
    assert free == now + timedelta(hours=60)
    plan = plan_orders(store, now)
    assert plan is not None
    first, *more = plan.poured
    assert first.at >= free
    assert first.free_at >= first.strip_at + timedelta(hours=60), "nor sooner after its own strip"
    assert all(one.at >= first.free_at for one in more)
    client.post(f"{path}/faults?kind=broken")
    broken = plan_orders(store, now)
    assert broken is not None
    assert broken.poured == []


def test_no_two_kinds_share_a_name_and_a_finish_is_planned_whole(
    client: TestClient, store: Store, bench: Bench, now: datetime
) -> None:
    due = now + timedelta(days=14)
    told = [("wax", "wax"), ("resin", "epoxy")]
    made = [
        client.post(f"{API}/sealers", json={"name": name, "chemistry": kind}).json()["id"]
        for name, kind in told
    ]
    logged = keys(bench) | {"sealer_id": bench.sealer_id, "sealer_then": [made[0]]}
    assert client.post(f"{API}/pours", json=logged).status_code == 201
    put_down(client, bench, "A", due)
    put_down(client, bench, "B", due, sealer_id=made[0])
    put_down(client, bench, "C", due, sealer_id=made[1])
    put_down(client, bench, "D", due, sealer_id=bench.sealer_id, sealer_then=[])
    put_down(client, bench, "E", due, sealer_id=made[1], sealer_then=[made[0]])
    with store.reading() as session:
        found = gather(session, now)
    named = {one.key: one.parts[0].kind for one in found.orders}
    assert len(set(named.values())) == 5
    finish = {key: found.kinds[kind].scenario for key, kind in named.items()}
    over = {key: [one.chemistry for one in pour.then] for key, pour in finish.items()}
    assert over == {"A": ["wax"], "B": [], "C": [], "D": [], "E": ["wax"]}
    first = {key: pour.sealer.chemistry for key, pour in finish.items()}
    assert (first["B"], first["C"], first["E"]) == ("wax", "epoxy", "epoxy")
    part = keys(bench) | {"count": 1, "sealer_then": [made[0]]}
    order = {"name": "F", "due_at": due.isoformat(), "parts": [part]}
    refused = client.post(f"{API}/orders", json=order)
    assert refused.status_code == 422
    assert "parts[0].sealer_then" in refused.text


def test_what_went_out_with_an_order_counts_for_no_other(
    client: TestClient, store: Store, bench: Bench, hands: Hands, now: datetime
) -> None:
    first = put_down(client, bench, "A", now + timedelta(days=14))
    put_down(client, bench, "B", now + timedelta(days=30))
    for _ in range(2):
        hands.forward(1)
        pour = client.post(f"{API}/pours", json=keys(bench)).json()
        with store.unit_of_work() as session:
            close_pour(session, hands.now, pour["id"], "finished")
    plan_orders(store, hands.now)
    hands.forward(0.1)
    client.post(f"{API}/orders/{first}/archive")
    assert client.get(f"{API}/order-plan").json()["due"], "it is worked out anew"
    with store.reading() as session:
        (other,) = gather(session, hands.now).orders
    assert (other.key, other.parts[0].count, other.poured_h) == ("B", 2, ())
    hands.forward(1)
    assert client.post(f"{API}/pours", json=keys(bench)).status_code == 201
    with store.reading() as session:
        (other,) = gather(session, hands.now).orders
    assert other.parts[0].count == 1, "what is poured after it went is the other's"


def test_whatever_the_plan_rests_on_makes_it_due(
    client: TestClient, store: Store, order: JsonDict, bench: Bench, hands: Hands
) -> None:
    mould = f"{API}/moulds/{bench.mould_id}"
    whole = client.get(mould).json()
    told = {name: whole[name] for name in ("name", "material", "thickness_mm", "piece_id")}
    wanted = keys(bench) | {"mould_id": bench.mould_id}
    changes = (
        ("post", f"{API}/pours", wanted),
        ("patch", f"{API}/pours/1", {"water_added_l": 0.2}),
        ("post", f"{API}/pours/1/steps/strip/done", None),
        ("post", f"{API}/pours/1/steps/strip/undo", None),
        ("post", f"{API}/pours/1/close", {"why": "finished"}),
        ("post", f"{API}/pours/1/reopen", None),
        ("put", mould, told | {"turnaround_h": 5}),
        ("post", f"{mould}/faults?kind=broken", None),
        ("patch", f"{API}/shop", {"hands": 3}),
        ("post", f"{API}/places/{bench.place_id}/restore", None),
        ("post", f"{API}/orders/{order['id']}/archive", None),
        ("post", f"{API}/orders/{order['id']}/restore", None),
    )
    for verb, path, body in changes:
        plan_orders(store, hands.now)
        hands.forward(0.1)
        assert not client.get(f"{API}/order-plan").json()["due"], path
        answer = client.request(verb, path, json=body)
        assert answer.status_code < 300, (path, answer.text)
        assert client.get(f"{API}/order-plan").json()["due"], path


def test_more_than_one_plan_can_hold_is_refused_where_it_is_put_down(
    client: TestClient, bench: Bench, now: datetime
) -> None:
    due = now + timedelta(days=14)
    first = put_down(client, bench, "A", due, count=150)
    part = keys(bench) | {"count": 51}
    told = {"name": "B", "due_at": due.isoformat(), "parts": [part]}
    refused = client.post(f"{API}/orders", json=told)
    assert refused.status_code == 422
    assert "201" in refused.text
    assert "200 at most" in refused.text
    assert client.post(f"{API}/orders/{first}/archive").status_code == 200
    assert client.post(f"{API}/orders", json=told).status_code == 201
    assert client.post(f"{API}/orders/{first}/restore").status_code in (409, 422)


@pytest.mark.parametrize("fault", [ValueError("no such start"), WeatherUnavailable("sky", "gone")])
def test_a_try_that_failed_says_so_and_may_be_asked_anew(
    client: TestClient,
    order: JsonDict,
    rounds: Rounds,
    hands: Hands,
    monkeypatch: pytest.MonkeyPatch,
    fault: Exception,
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr(shop_plan, "plan", fails)
    assert rounds.plan(hands.now) == 1
    told = client.get(f"{API}/order-plan").json()
    assert not told["due"]
    assert str(fault) in told["failure"]
    page = client.get("/orders/plan").text
    assert "The last try failed" in page
    assert "Working out" not in page
    asked = client.post(f"{API}/order-plan").json()
    assert (asked["due"], asked["failure"]) == (True, "")
    assert "Working out" in client.get("/orders/plan").text
    monkeypatch.undo()
    client.post(f"{API}/orders/{order['id']}/archive")
    assert rounds.plan(hands.now) == 1
    assert client.get(f"{API}/order-plan").json()["failure"] == ""
