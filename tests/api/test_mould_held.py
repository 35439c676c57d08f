"""A second pour in a mould that still holds one is stored only with the answer that makes room."""

from datetime import datetime, timedelta
from threading import Barrier, Thread

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from models.records import Mould, Pour
from service.actions.pours.log_pour import log_pour
from service.actions.pours.mould_room import TwoInOne
from service.nouns.pour import MouldHeld, PourCreate
from service.queries.held import stays
from service.store import Store
from tests.support.raw import JsonDict
from tests.support.rows import rows
from tests.support.shop import HOUR, Bench, Hands, furnish

API = "/api/v1"
DAY = timedelta(days=1)


@pytest.fixture
def wanted(bench: Bench) -> JsonDict:
    names = ("mix_id", "piece_id", "place_id", "mould_id")
    return {name: getattr(bench, name) for name in names}


@pytest.fixture
def first(client: TestClient, wanted: JsonDict, hands: Hands) -> JsonDict:
    """A pour of yesterday that nobody stripped."""
    made = client.post(f"{API}/pours", json=wanted)
    assert made.status_code == 201, made.text
    hands.forward(24.0)
    logged: JsonDict = made.json()
    return logged


def second(client: TestClient, wanted: JsonDict, **more: object) -> Response:
    return client.post(f"{API}/pours", json={**wanted, **more})


def refused(response: Response) -> JsonDict:
    assert response.status_code == 409, response.text
    assert response.headers["content-type"] == "application/problem+json"
    problem: JsonDict = response.json()
    assert problem["code"] == "mould_held"
    (error,) = problem["errors"]
    told: JsonDict = error
    return told


def steps(client: TestClient, pour_id: int) -> dict[str, str]:
    done = client.get(f"{API}/pours/{pour_id}/steps").json()
    return {row["step"]: row["at"] for row in done if row["undone_at"] is None}


def test_the_refusal_names_both_pours_and_what_resolves_it(
    client: TestClient, store: Store, wanted: JsonDict, first: JsonDict, hands: Hands
) -> None:
    error = refused(second(client, wanted))
    assert (error["field"], error["value"]) == ("mould_id", wanted["mould_id"])
    assert error["other_pour_id"] == first["id"]
    assert f"#{first['id']}" in error["wrong"]
    assert hands.now.isoformat() in error["wrong"]
    for name in ("mould_held", "stripped_at", "another", "mould_id"):
        assert name in error["allowed"]
    assert len(rows(store, Pour)) == 1


def test_it_was_stripped_and_the_second_pour_are_one_request(
    client: TestClient, wanted: JsonDict, first: JsonDict, hands: Hands
) -> None:
    at = hands.now - 2 * HOUR
    told = {"pour_id": first["id"], "what": "stripped", "stripped_at": at.isoformat()}
    made = second(client, wanted, mould_held=told)
    assert made.status_code == 201, made.text
    assert made.json()["mould_id"] == wanted["mould_id"]
    assert datetime.fromisoformat(steps(client, first["id"])["strip"]) == at
    assert refused(second(client, wanted))["other_pour_id"] == made.json()["id"]


def test_a_strip_after_the_second_pour_is_refused_with_both_hours(
    client: TestClient, store: Store, wanted: JsonDict, first: JsonDict, hands: Hands
) -> None:
    placed, at = hands.now - 3 * HOUR, hands.now - HOUR
    told = {"pour_id": first["id"], "what": "stripped", "stripped_at": at.isoformat()}
    answer = second(client, wanted, mould_held=told, placed_at=placed.isoformat())
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["field"] == "mould_held.stripped_at"
    assert error["value"] == at.isoformat()
    assert placed.isoformat() in error["allowed"]
    assert steps(client, first["id"]) == {}
    assert len(rows(store, Pour)) == 1


def test_another_mould_of_the_kind_is_the_free_one_else_one_more(
    client: TestClient, store: Store, wanted: JsonDict, first: JsonDict
) -> None:
    told = {"pour_id": first["id"], "what": "another"}
    made = second(client, wanted, mould_held=told).json()
    assert made["mould_id"] != wanted["mould_id"]
    assert made["poured"]["mould"]["name"] == "Bench mould 2"
    assert steps(client, first["id"]) == {}
    client.post(f"{API}/pours/{made['id']}/close", json={"why": "lost"})
    again = second(client, wanted, mould_held=told)
    assert again.json()["mould_id"] == made["mould_id"]
    assert len(rows(store, Mould)) == 2


def test_a_broken_mould_is_not_another_one(
    client: TestClient, wanted: JsonDict, first: JsonDict
) -> None:
    other = client.post(f"{API}/moulds/{wanted['mould_id']}/another").json()["id"]
    fault = client.post(f"{API}/moulds/{other}/faults?kind=broken").json()["id"]
    told = {"pour_id": first["id"], "what": "another"}
    made = second(client, wanted, mould_held=told).json()
    assert made["mould_id"] not in (other, wanted["mould_id"])
    assert client.post(f"{API}/moulds/{other}/faults/{fault}/mended").status_code == 200
    client.post(f"{API}/pours/{made['id']}/close", json={"why": "logged by mistake"})
    assert second(client, wanted, mould_held=told).json()["mould_id"] == other


def test_an_answer_about_another_pour_than_the_one_that_is_there_is_asked_again(
    client: TestClient, wanted: JsonDict, first: JsonDict
) -> None:
    told = {"pour_id": first["id"], "what": "stripped"}
    made = second(client, wanted, mould_held=told).json()
    assert refused(second(client, wanted, mould_held=told))["other_pour_id"] == made["id"]
    assert steps(client, made["id"]) == {}


def test_a_pour_that_is_logged_late_was_stripped_before_the_one_that_followed_it(
    client: TestClient, wanted: JsonDict, first: JsonDict, hands: Hands
) -> None:
    placed = hands.now - 3 * DAY
    error = refused(second(client, wanted, placed_at=placed.isoformat()))
    assert error["other_pour_id"] == first["id"]
    stripped = (placed + DAY).isoformat()
    told = {"pour_id": first["id"], "what": "stripped", "stripped_at": stripped}
    made = second(client, wanted, placed_at=placed.isoformat(), mould_held=told)
    assert made.status_code == 201, made.text
    assert [*steps(client, made.json()["id"])] == ["strip"]
    assert steps(client, first["id"]) == {}


def test_a_strip_that_was_told_too_late_is_moved_by_an_hour_that_is_told(
    client: TestClient, wanted: JsonDict, first: JsonDict, hands: Hands
) -> None:
    out, placed = hands.now - HOUR, hands.now - 2 * HOUR
    done = client.post(f"{API}/pours/{first['id']}/steps/strip/done", json={"at": out.isoformat()})
    assert done.status_code < 300, done.text
    hands.forward(0.5)
    told = {"pour_id": first["id"], "what": "stripped"}
    error = refused(second(client, wanted, placed_at=placed.isoformat(), mould_held=told))
    assert out.isoformat() in error["wrong"]
    assert "moves a strip" in error["allowed"]
    at = placed - HOUR
    told["stripped_at"] = at.isoformat()
    made = second(client, wanted, placed_at=placed.isoformat(), mould_held=told)
    assert made.status_code == 201, made.text
    assert datetime.fromisoformat(steps(client, first["id"])["strip"]) == at
    hands.forward(1.0)
    close = f"{API}/pours/{made.json()['id']}/close"
    assert client.post(close, json={"why": "logged by mistake"}).status_code == 200
    assert datetime.fromisoformat(steps(client, first["id"])["strip"]) == out


def test_a_second_pour_that_was_none_takes_the_strip_of_the_first_back(
    client: TestClient, wanted: JsonDict, first: JsonDict
) -> None:
    told = {"pour_id": first["id"], "what": "stripped"}
    pour = f"{API}/pours/{second(client, wanted, mould_held=told).json()['id']}"
    assert [*steps(client, first["id"])] == ["strip"]
    closed = client.post(f"{pour}/close", json={"why": "logged by mistake"})
    assert closed.status_code == 200, closed.text
    assert steps(client, first["id"]) == {}
    assert client.post(f"{pour}/reopen").status_code == 200
    assert [*steps(client, first["id"])] == ["strip"], "as the answer had it"
    client.post(f"{pour}/close", json={"why": "lost"})
    assert [*steps(client, first["id"])] == ["strip"], "it was poured"


def test_a_pour_that_was_none_or_that_was_stripped_is_in_no_mould(
    client: TestClient, wanted: JsonDict, first: JsonDict
) -> None:
    client.post(f"{API}/pours/{first['id']}/close", json={"why": "logged by mistake"})
    made = second(client, wanted)
    assert made.status_code == 201
    assert client.post(f"{API}/pours/{first['id']}/reopen").status_code == 409
    client.post(f"{API}/pours/{made.json()['id']}/steps/strip/done")
    assert second(client, wanted).status_code == 201


def test_a_correction_puts_no_second_pour_into_a_mould(
    client: TestClient, wanted: JsonDict, first: JsonDict
) -> None:
    loose = second(client, wanted, mould_id=None).json()
    pour, mould = f"{API}/pours/{loose['id']}", {"mould_id": wanted["mould_id"]}
    assert refused(client.patch(pour, json=mould))["other_pour_id"] == first["id"]
    assert client.get(pour).json()["mould_id"] is None
    told = {"pour_id": first["id"], "what": "stripped"}
    answer = client.patch(pour, json={**mould, "mould_held": told})
    assert answer.status_code == 200, answer.text
    assert answer.json()["mould_id"] == wanted["mould_id"]
    assert [*steps(client, first["id"])] == ["strip"]


def test_two_phones_at_once_put_one_pour_into_a_mould(any_store: Store, now: datetime) -> None:
    """On either database one transaction decides; the other phones are asked about its pour."""
    bench = furnish(any_store, now)
    names = ("mix_id", "piece_id", "place_id", "mould_id")
    plain = PourCreate(**{name: getattr(bench, name) for name in names})
    with any_store.unit_of_work() as session:
        before = log_pour(session, now - DAY, plain).id
    told = plain.model_copy(update={"mould_held": MouldHeld(pour_id=before, what="stripped")})
    ready, asked, stored = Barrier(4), [], []

    def tap() -> None:
        ready.wait()
        try:
            with any_store.unit_of_work() as session:
                stored.append(log_pour(session, now, told).id)
        except TwoInOne as error:
            asked.append(error.other.pour_id)

    phones = [Thread(target=tap) for _ in range(4)]
    for one in phones:
        one.start()
    for one in phones:
        one.join()
    assert len(stored) == 1
    assert asked == stored * 3
    with any_store.reading() as session:
        there = stays(session, [bench.mould_id])[bench.mould_id]
    assert [(one.pour.id, one.out_at) for one in there] == [(before, now), (stored[0], None)]
