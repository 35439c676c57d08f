"""The register of moulds: which is free when, how often it was used, what went wrong with it."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from sqlalchemy import event
from starlette.testclient import TestClient

from models.records import Mould
from service.actions.pours.log_pour import log_pour
from service.actions.shop.mould_states import states
from service.actions.shop.set_up_shop import save_mould
from service.nouns.pour import PourCreate
from service.queries.rows import by_name
from service.store import Store
from tests.support.raw import JsonDict
from tests.support.shop import HOUR, Bench, Hands, Windows

API = "/api/v1"


@pytest.fixture
def mould(bench: Bench) -> str:
    return f"{API}/moulds/{bench.mould_id}"


@pytest.fixture
def pour(client: TestClient, bench: Bench, hands: Hands, windows: Windows) -> JsonDict:
    """A pour in the mould, safe to strip in 30 hours."""
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    windows.say("strip", "not yet", hands.now + 30 * HOUR)
    names = ("mix_id", "piece_id", "place_id", "mould_id")
    made = client.post(f"{API}/pours", json={name: getattr(bench, name) for name in names})
    assert made.status_code == 201, made.text
    told: JsonDict = made.json()
    return told


def standing(client: TestClient, mould: str) -> JsonDict:
    answer = client.get(f"{mould}/standing")
    assert answer.status_code == 200, answer.text
    told: JsonDict = answer.json()
    return told


def free(client: TestClient, at: datetime) -> list[str]:
    answer = client.get(f"{API}/moulds", params={"free_at": at.isoformat()})
    assert answer.status_code == 200, answer.text
    return [row["name"] for row in answer.json()]


def test_a_mould_that_holds_a_pour_is_free_after_its_strip_and_its_cleaning(
    client: TestClient, mould: str, pour: JsonDict, hands: Hands
) -> None:
    told = {"name": "Bench mould", "turnaround_h": "90 min", "release_agent": "form oil"}
    assert client.put(mould, json=told).status_code == 200
    found = standing(client, mould)
    assert (found["state"], found["pour_id"], found["uses"]) == ("holding", pour["id"], 1)
    strip_at = hands.now + 30 * HOUR
    assert datetime.fromisoformat(found["strip_at"]) == strip_at
    assert datetime.fromisoformat(found["free_at"]) == strip_at + 1.5 * HOUR
    assert free(client, strip_at + HOUR) == []
    assert free(client, strip_at + 2 * HOUR) == ["Bench mould"]


def test_a_mould_whose_pour_nobody_can_tell_of_is_free_at_no_hour(
    client: TestClient, mould: str, pour: JsonDict, hands: Hands, windows: Windows
) -> None:
    windows.say("strip", "blocked", None)
    client.post(f"{API}/pours/{pour['id']}/steps/finish/done")
    found = standing(client, mould)
    assert (found["state"], found["strip_at"], found["free_at"]) == ("holding", None, None)
    assert free(client, hands.now + timedelta(days=365)) == []


def test_from_strip_to_release_it_is_cleaned_empty_and_set_up(
    client: TestClient, mould: str, pour: JsonDict, hands: Hands
) -> None:
    refused = client.post(f"{mould}/released")
    assert refused.status_code == 409
    hands.forward(31.0)
    client.post(f"{API}/pours/{pour['id']}/steps/strip/done")
    found = standing(client, mould)
    assert (found["state"], found["pour_id"]) == ("cleaning", None)
    assert datetime.fromisoformat(found["free_at"]) == hands.now + HOUR  # as is common
    assert free(client, hands.now) == []
    hands.forward(2.0)
    assert standing(client, mould)["state"] == "empty"
    assert client.post(f"{mould}/released").json()["state"] == "set up"
    older = {"at": (hands.now - 24 * HOUR).isoformat()}  # of a phone that had no signal
    told = client.post(f"{mould}/released", json=older).json()["released_at"]
    assert datetime.fromisoformat(told) == hands.now
    assert free(client, hands.now) == ["Bench mould"]


def test_a_fault_is_told_with_the_mould_and_a_broken_one_is_not_free(
    client: TestClient, mould: str, hands: Hands, picture: Callable[[str], bytes]
) -> None:
    seam = client.post(f"{mould}/faults", params={"kind": "leaking seam", "note": "at the drain"})
    assert seam.status_code == 201, seam.text
    assert standing(client, mould)["last_fault"]["id"] == seam.json()["id"]
    assert standing(client, mould)["state"] == "empty"
    hands.forward(1.0)
    kept = client.post(f"{mould}/faults", params={"kind": "broken"}, content=picture("jpg")).json()
    assert kept["media_type"] == "image/jpeg"
    photo = client.get(f"{mould}/faults/{kept['id']}/photo")
    assert (photo.status_code, photo.headers["content-type"]) == (200, "image/jpeg")
    assert client.get(f"{mould}/faults/{seam.json()['id']}/photo").status_code == 404
    assert standing(client, mould)["state"] == "broken"
    assert free(client, hands.now + timedelta(days=30)) == []
    assert client.post(f"{mould}/faults/{kept['id']}/mended").status_code == 200
    assert standing(client, mould)["state"] == "empty"
    assert client.delete(f"{mould}/faults/{kept['id']}").status_code == 204
    assert [row["id"] for row in client.get(f"{mould}/faults").json()] == [seam.json()["id"]]


def test_a_fault_that_cannot_be_is_refused_by_its_name(client: TestClient, mould: str) -> None:
    wrong = client.post(f"{mould}/faults", params={"kind": "sad"})
    assert wrong.status_code == 422
    assert "leaking seam" in wrong.json()["errors"][0]["allowed"]
    text = client.post(f"{mould}/faults", params={"kind": "sticks"}, content=b"not a picture")
    assert text.status_code == 422
    assert client.get(f"{mould}/faults").json() == []


def test_one_more_of_its_kind_is_of_the_kind_of_the_first(
    client: TestClient, mould: str, bench: Bench
) -> None:
    second = client.post(f"{mould}/another").json()
    third = client.post(f"{API}/moulds/{second['id']}/another").json()
    assert [second["name"], third["name"]] == ["Bench mould 2", "Bench mould 3"]
    assert {second["alike_id"], third["alike_id"]} == {bench.mould_id}
    odd = client.put(mould, json={"name": "Bench mould", "alike_id": 999})
    assert odd.status_code == 422
    assert client.put(mould, json={"name": "B", "turnaround_h": "-1 h"}).status_code == 422


def test_what_is_told_of_many_moulds_costs_no_more_statements_than_of_one(
    store: Store, bench: Bench, now: datetime
) -> None:
    counts = []
    for k in range(8):
        with store.unit_of_work() as session:
            key = save_mould(session, now, {"name": f"Mould {k}"}).id
            plain = PourCreate(
                mix_id=bench.mix_id, piece_id=bench.piece_id, place_id=bench.place_id, mould_id=key
            )
            log_pour(session, now, plain)
        if k in (0, 7):
            counts.append(statements(store, now))
    assert counts[0] == counts[1] <= 6  # with that of the moulds and the beginning


def statements(store: Store, now: datetime) -> int:
    said: list[str] = []

    def hear(_c: object, _k: object, statement: str, *_: object) -> None:
        said.append(statement)

    event.listen(store.engine, "before_cursor_execute", hear)
    with store.reading() as session:
        states(session, now, by_name(session, Mould))
    event.remove(store.engine, "before_cursor_execute", hear)
    return len(said)
