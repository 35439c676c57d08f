"""Do the walls of a mould hold: asked of the interface, in any unit."""

from datetime import datetime, timedelta

import pytest
from starlette.testclient import TestClient

from tests.support.raw import JsonDict
from tests.support.shop import Bench, shell_told_by_hand

API = "/api/v1"
PLANTER = {
    "name": "Planter",
    "shape": "box",
    "length_mm": 700,
    "width_mm": 700,
    "height_mm": 600,
    "wall_mm": 50,
}


def mould_for(client: TestClient, **told: object) -> int:
    piece = client.post(f"{API}/pieces", json=PLANTER).json()["id"]
    body = {"name": "Planter mould", "piece_id": piece, **told}
    answer = client.post(f"{API}/moulds", json=body)
    assert answer.status_code == 201, answer.text
    return int(answer.json()["id"])


def walls(client: TestClient, mould_id: int, **asked: float | str) -> JsonDict:
    answer = client.get(f"{API}/moulds/{mould_id}/walls", params=asked)
    assert answer.status_code == 200, answer.text
    body: JsonDict = answer.json()
    return body


def test_a_bare_wall_of_a_planter_bows_and_what_it_says_would_hold_holds(
    client: TestClient,
) -> None:
    mould_id = mould_for(client)
    told = walls(client, mould_id)
    assert told["state"] == "screws"  # nobody told them, and the usual ones let go
    assert {one["part"] for one in told["walls"]} == {"side", "end", "core_side", "core_end"}
    side = told["walls"][0]
    assert side["bow_mm"]["p10"] < side["bow_mm"]["p50"] < side["bow_mm"]["p90"]
    brace = min(one["would_hold"]["brace_spacing_mm"] for one in told["walls"])
    row = client.get(f"{API}/moulds/{mould_id}").json()
    changed = {key: row[key] for key in ("name", "piece_id", "material", "thickness_mm")}
    changed["brace_spacing_mm"] = f"{brace} mm"
    near = min(one["would_hold"]["screw_spacing_mm"] for one in told["walls"] if one["screws"])
    assert near < 150  # the usual ones let go
    changed["screw_spacing_mm"] = near
    assert client.put(f"{API}/moulds/{mould_id}", json=changed).status_code == 200
    assert walls(client, mould_id)["state"] == "holds"


def test_the_lift_it_names_holds_and_a_deeper_one_does_not(client: TestClient) -> None:
    mould_id = mould_for(client, thickness_mm=19, brace_spacing_mm=450)
    told = walls(client, mould_id)
    lift = min(one["would_hold"]["lift_mm"] for one in told["walls"] if one["would_hold"])
    assert walls(client, mould_id, fresh_mm=lift)["state"] == "holds"
    assert walls(client, mould_id, fresh_mm=lift + 30)["state"] != "holds"


def test_units_are_typed_as_anywhere(client: TestClient) -> None:
    mould_id = mould_for(client, brace_spacing_mm="10 in", screw_spacing_mm="4 in")
    told = walls(client, mould_id, fresh_mm="12 in")
    assert told["fresh_mm"] == 304.8
    assert abs(told["foot_kPa"] - 0.3048 * 2400 * 9.80665 / 1000) < 0.001


def test_more_fresh_than_the_mould_is_deep_is_refused_by_both_numbers(client: TestClient) -> None:
    answer = client.get(f"{API}/moulds/{mould_for(client)}/walls", params={"fresh_mm": 900})
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["field"] == "fresh_mm"
    assert "600 mm" in error["wrong"]


def test_screws_that_do_not_reach_are_refused_by_both_lengths(client: TestClient) -> None:
    mould_id = mould_for(client, screw_length_mm=25)
    answer = client.get(f"{API}/moulds/{mould_id}/walls")
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["field"] == "screw_length_mm"
    assert "9 mm" in error["wrong"]
    assert "16 mm" in error["wrong"]


def test_screws_too_far_apart_let_go(client: TestClient) -> None:
    held = {"thickness_mm": 19, "brace_spacing_mm": 230, "rim_held": True}
    assert walls(client, mould_for(client, **held))["state"] == "screws"  # the usual ones
    row = client.get(f"{API}/moulds", params={"q": "Planter"}).json()[0]
    for spacing_mm, state in ((60, "holds"), (280, "screws")):
        changed = {key: row[key] for key in ("name", "piece_id", *held)}
        changed["screw_spacing_mm"] = spacing_mm
        client.put(f"{API}/moulds/{row['id']}", json=changed)
        assert walls(client, row["id"])["state"] == state


def test_without_a_piece_it_says_why_not(client: TestClient) -> None:
    bare = client.post(f"{API}/moulds", json={"name": "Bare"}).json()["id"]
    told = walls(client, bare)
    assert told["state"] is None
    assert told["missing"]["values"]["why"]["code"] == "mould_no_piece"


def test_foam_bears_nothing_by_itself_and_its_core_floats_all_the_same(client: TestClient) -> None:
    told = walls(client, mould_for(client, material="foam", thickness_mm=50))
    assert told["state"] == "unknown"
    assert told["walls"] == []
    (core,) = told["uplifts"]
    assert core["lifts_kg"] == round(0.6 * 0.6 * 0.55 * 2400, 3)
    assert told["says"][0]["code"] == "mould_no_walls"


def test_without_the_height_of_what_was_told_by_hand_it_says_that_it_is_missing(
    client: TestClient,
) -> None:
    _, built = shell_told_by_hand(client)
    told = walls(client, built)
    assert told["state"] is None
    assert told["missing"]["values"]["why"]["code"] == "mould_no_height"


def test_a_heavy_mix_of_its_newest_pour_presses_and_lifts_by_its_own_density(
    client: TestClient, bench: Bench, now: datetime
) -> None:
    mould_id = mould_for(client)
    usual = walls(client, mould_id)
    heavy = {"name": "Baryte", "kind": "general-purpose", "density_kg_m3": 2700}
    mix = client.post(f"{API}/mixes", json=heavy)
    assert mix.status_code == 201, mix.text
    pour = {"mould_id": mould_id, "mix_id": mix.json()["id"], "place_id": bench.place_id}
    pour |= {"piece_id": client.get(f"{API}/moulds/{mould_id}").json()["piece_id"]}
    placed = {**pour, "placed_at": (now + timedelta(hours=2)).isoformat()}
    answer = client.post(f"{API}/pours", json=placed)
    assert answer.status_code == 201, answer.text
    told = walls(client, mould_id)
    assert told["foot_kPa"] == pytest.approx(usual["foot_kPa"] * 2700 / 2400, rel=1e-3)
    lifts = [one["uplifts"][0]["lifts_kg"] for one in (usual, told)]
    assert lifts[1] == pytest.approx(lifts[0] * 2700 / 2400, rel=1e-3)
    before = client.get(f"{API}/pours/{answer.json()['id']}/before").json()
    (core,) = [one for one in before["items"] if one["key"] == "core"]
    assert core["says"][0]["values"]["lifts_kg"] == pytest.approx(lifts[1])
