"""A pour as a template: the same again, counted, and what differs from the one before."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from tests.support.phone import Phone
from tests.support.raw import JsonDict
from tests.support.shop import HOUR, Bench, Hands, Windows

API = "/api/v1"
TAKEN = ("mix_id", "piece_id", "place_id", "mould_id", "sealer_id")


@pytest.fixture
def first(client: TestClient, bench: Bench, hands: Hands, windows: Windows) -> JsonDict:
    """The first of six, under blankets, with a strip that is meant; it is stripped a day later."""
    windows.say("strip", "open", hands.now + 20 * HOUR)
    client.post(f"{API}/places/{bench.place_id}/weather/refresh")
    wanted = {name: getattr(bench, name) for name in TAKEN}
    wanted |= {"series_of": 6, "measures": ["shade"], "concrete_C": 15.0}
    covers = [{"kind": "two blankets", "faces": "sides"}]
    made = client.post(f"{API}/pours", json={**wanted, "protections": covers})
    assert made.status_code == 201, made.text
    pour: JsonDict = made.json()
    strip = {"step": "strip", "at": (hands.now + 30 * HOUR).isoformat()}
    plan = client.put(f"{API}/pours/{pour['id']}/plan", json={"plan": [strip]})
    assert plan.status_code == 200, plan.text
    hands.forward(31.0)
    assert client.post(f"{API}/pours/{pour['id']}/steps/strip/done").status_code == 201
    hands.forward(24.0)
    return pour


def again(client: TestClient, pour: JsonDict, **told: object) -> JsonDict:
    made = client.post(f"{API}/pours/{pour['id']}/again", json=told)
    assert made.status_code == 201, made.text
    row: JsonDict = made.json()
    return row


def series(client: TestClient, pour: JsonDict) -> JsonDict:
    told: JsonDict = client.get(f"{API}/pours/{pour['id']}/series").json()
    return told


def test_it_has_the_rows_the_cover_and_the_plan_of_that_one_at_its_own_hours(
    client: TestClient, first: JsonDict, hands: Hands
) -> None:
    second = again(client, first)
    for name in (*TAKEN, "measures", "series_of"):
        assert second[name] == first[name]
    assert second["series_id"] == first["id"]
    assert datetime.fromisoformat(second["placed_at"]) == hands.now
    assert second["concrete_C"] is None  # what was measured then is not true of this one
    (cover,) = client.get(f"{API}/pours/{second['id']}/protections").json()
    assert (cover["kind"], cover["faces"]) == ("two blankets", "sides")
    (act,) = client.get(f"{API}/pours/{second['id']}/plan").json()["plan"]
    assert act["step"] == "strip"
    assert datetime.fromisoformat(act["at"]) == hands.now + 30 * HOUR


def test_what_is_told_goes_before_what_is_taken(client: TestClient, first: JsonDict) -> None:
    second = again(client, first, mould_id=None, bags=3, protections=[])
    assert (second["mould_id"], second["bags"], second["mix_id"]) == (None, 3.0, first["mix_id"])
    assert client.get(f"{API}/pours/{second['id']}/protections").json() == []


def test_a_mould_that_still_holds_the_one_before_asks_here_too(
    client: TestClient, first: JsonDict, hands: Hands
) -> None:
    second = again(client, first)
    hands.forward(30.0)
    refused = client.post(f"{API}/pours/{first['id']}/again")
    assert refused.status_code == 409
    assert refused.json()["code"] == "mould_held"
    held = {"pour_id": second["id"], "what": "another"}
    assert again(client, first, mould_held=held)["mould_id"] != first["mould_id"]


def test_a_series_counts_what_was_made_and_tells_what_differs(
    client: TestClient, first: JsonDict, hands: Hands
) -> None:
    lost = again(client, first, mould_id=None)
    client.post(f"{API}/pours/{lost['id']}/close", json={"why": "lost"})
    hands.forward(2.0)
    second = again(client, first, concrete_C=20.0, protections=[{"kind": "film"}])
    told = series(client, second)
    assert (told["number"], told["of"]) == (2, 6)
    assert told["pour_ids"] == [first["id"], lost["id"], second["id"]]
    assert told["before_id"] == lost["id"]
    assert series(client, lost)["number"] is None
    record = client.get(f"{API}/pours/{second['id']}/record").json()
    assert (record["series_number"], record["series_of"]) == (2, 6)
    assert record["mould_use"] == 2
    assert series(client, first) | {"pour_ids": []} == {
        "number": 1,
        "of": 6,
        "pour_ids": [],
        "before_id": None,
        "differs": [],
    }
    differs = {one["field"]: (one["before"], one["now"]) for one in told["differs"]}
    assert differs == {
        "mould": (None, "Bench mould"),
        "concrete_C": (None, 20.0),
        "cover": ("two blankets (sides)", "film"),
    }


def test_a_piece_that_was_changed_since_is_told(client: TestClient, first: JsonDict) -> None:
    path = f"{API}/pieces/{first['piece_id']}"
    own = ("id", "created_at", "archived_at")
    piece = {k: v for k, v in client.get(path).json().items() if k not in own}
    client.put(path, json=piece | {"thickness_mm": 70.0})
    second = again(client, first, concrete_C=15.0)
    assert series(client, second)["differs"] == [
        {"field": "piece", "before": "North bench", "now": "changed"}
    ]


def test_three_taps_pour_it_again(
    client: TestClient, first: JsonDict, hands: Hands, bench: Bench
) -> None:
    """From the piece, its record or the sticker of its mould: pour it again, then poured."""
    phone = Phone(client)
    page = phone.open(f"/pours/{first['id']}")
    tap = f"/pour?like={first['id']}"
    assert tap in page.links
    assert tap in phone.open(f"/pours/{first['id']}/record").links
    assert tap in phone.open(f"/pieces/{first['piece_id']}").links
    page = phone.open(tap)
    assert "Number 2 of 6, like North bench" in page.text
    form = page.form("/pour", "Poured")
    assert form.fields["cover"] == ["two blankets"]
    assert form.fields["cover_faces"] == ["sides"]
    assert form.fields["measures"] == ["shade"]
    from_mould = phone.open(f"/pour?mould={bench.mould_id}").form("/pour", "Poured")
    assert from_mould.fields["like"] == [str(first["id"])]
    page = phone.send(form)
    assert phone.status == 200
    assert "2 of 6" in page.text
    assert "Unlike the one before" in page.text
    key = int(phone.path.rpartition("/")[2])
    (act,) = client.get(f"{API}/pours/{key}/plan").json()["plan"]
    assert datetime.fromisoformat(act["at"]) == hands.now + timedelta(hours=30)
