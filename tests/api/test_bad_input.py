"""What a maker can get wrong: the key, the value, what is allowed; and nothing is lost."""

import json
from datetime import datetime, timedelta

import pytest
from sqlmodel import func, select
from starlette.testclient import TestClient

from models.errors import InputError
from models.planning import timeline
from models.records import Pour, Reading
from service.store import Store
from tests.support.raw import JsonDict
from tests.support.shop import Bench, Windows

API = "/api/v1"
PIECE = {"name": "Top", "shape": "panel", "length_mm": 1400, "width_mm": 800, "thickness_mm": 45}
MIX = {"name": "Bag", "class": "general-purpose"}
PLACE = {"name": "Yard", "kind": "open yard"}


def refused(client: TestClient, path: str, body: object, status: int = 422) -> JsonDict:
    response = client.post(f"{API}/{path}", json=body)
    assert response.status_code == status, response.text
    error: JsonDict = response.json()["errors"][0]
    return error


@pytest.mark.parametrize(
    ("path", "body", "field", "value", "allowed"),
    [
        (
            "pieces",
            {**PIECE, "opening": [{"length_mm": 1600, "width_mm": 300}]},
            "opening[0].length_mm",
            1600.0,
            "at most 1360 mm",
        ),
        (
            "pieces",
            {**PIECE, "opening": [{"length_mm": "9 in", "width_mm": "9 furlong"}]},
            "opening[0].width_mm",
            "9 furlong",
            "mm",
        ),
        ("pieces", {**PIECE, "thickness_mm": "38"}, "thickness_mm", "38", "38 mm"),
        ("pieces", {**PIECE, "thickness_mm": True}, "thickness_mm", True, "38 mm"),
        ("pieces", {**PIECE, "thickness_mm": None}, "thickness_mm", None, "10 to 600 mm"),
        ("pieces", {**PIECE, "shape": "sphere"}, "shape", "sphere", "panel | box | block"),
        ("pieces", {**PIECE, "name": "a\u0000b"}, "name", "a\u0000b", "plain text"),
        ("pieces", {**PIECE, "name": " "}, "name", "", "1 to 120 characters"),
        ("pieces", {**PIECE, "exposed_to_frost": "perhaps"}, "exposed_to_frost", "perhaps", "true"),
        (
            "mixes",
            {**MIX, "strength": [{"age_h": -24, "MPa": 20}]},
            "strength[0].age_h",
            -24.0,
            "0.25 to 20000 h",
        ),
        (
            "mixes",
            {**MIX, "activation_energy_kJ_mol": 40000},
            "activation_energy_kJ_mol",
            40000.0,
            "20 to 80",
        ),
        ("mixes", {**MIX, "class": "magic"}, "class", "magic", "general-purpose"),
        ("mixes", {"class": "general-purpose"}, "name", None, "required"),
        ("places", {**PLACE, "latitude": 44}, "longitude", None, "both or neither"),
        ("places", {**PLACE, "latitude": 95, "longitude": 0}, "latitude", 95.0, "-90 to 90"),
        ("places", {**PLACE, "timezone": "Mars/Olympus"}, "timezone", "Mars/Olympus", "IANA"),
        ("places", {**PLACE, "kind": "heated room"}, "setpoint_C", None, "0 to 40"),
        ("moulds", {"name": "M", "material": "cheese"}, "material", "cheese", "melamine"),
        ("moulds", {"name": "M", "piece_id": 77}, "piece_id", 77, "none yet"),
        ("sealers", {"name": "S", "chemistry": "wax", "coats": 2.5}, "coats", 2.5, "whole number"),
        (
            "sealers",
            {"name": "S", "chemistry": "wax", "min_C": "40 C", "max_C": "60 F"},
            "max_C",
            15.5555555556,
            "40 or more",
        ),
    ],
)
def test_a_noun_that_cannot_be(
    client: TestClient, path: str, body: object, field: str, value: object, allowed: str
) -> None:
    error = refused(client, path, body)
    assert error["field"] == field
    assert error["value"] == value
    assert allowed in error["allowed"]
    assert client.get(f"{API}/{path}").json() == []


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_a_number_that_is_none_is_refused(client: TestClient, number: str) -> None:
    body = json.dumps({**PIECE, "length_mm": 12345}).replace("12345", number)
    response = client.post(
        f"{API}/pieces", content=body, headers={"Content-Type": "application/json"}
    )
    assert response.status_code == 422
    assert response.json()["errors"][0]["field"] == "length_mm"


def test_half_a_letter_is_refused_and_shown_safely(client: TestClient) -> None:
    response = client.post(
        f"{API}/places",
        content=b'{"name":"\\ud800","kind":"covered"}',
        headers={"Content-Type": "application/json"},
    )
    assert response.status_code == 422
    assert response.json()["errors"][0]["value"] == "\\ud800"


def test_quantities_come_with_or_without_a_unit(client: TestClient) -> None:
    body = {**PIECE, "thickness_mm": "1 1/2 in", "length_mm": "5' 6\""}
    made = client.post(f"{API}/pieces", json=body).json()
    assert (made["thickness_mm"], made["length_mm"], made["width_mm"]) == (38.1, 1676.4, 800.0)


def pour(bench: Bench, **changes: object) -> JsonDict:
    return {
        "mix_id": bench.mix_id,
        "piece_id": bench.piece_id,
        "place_id": bench.place_id,
        **changes,
    }


@pytest.mark.parametrize(
    ("changes", "field", "allowed"),
    [
        ({"placed_at": "2027-10-14T18:00-05:00"}, "placed_at", "at most 60 days ahead"),
        ({"placed_at": "2026-10-14T18:00"}, "placed_at", "ISO 8601 with offset"),
        ({"placed_at": "2026-10-14"}, "placed_at", "ISO 8601 with offset"),
        ({"placed_at": 0}, "placed_at", "ISO 8601 with offset"),
        ({"placed_at": "1791000000"}, "placed_at", "ISO 8601 with offset"),
        ({"placed_at": "0001-01-01T00:00+14:00"}, "placed_at", "ISO 8601 with offset"),
        ({"placed_at": "1999-12-31T00:00Z"}, "placed_at", "2000 to 2099"),
        ({"concrete_C": "14"}, "concrete_C", "13 C or 55 F"),
        ({"concrete_C": 80}, "concrete_C", "1 to 50 degC"),
        ({"bags": -1}, "bags", "0.1 to 500"),
        ({"mix_id": 99}, "mix_id", "one of 1"),
        ({"mix_id": True}, "mix_id", "whole number"),
        ({"protections": [{"kind": "tarpaulin"}]}, "kind", "film"),
        ({"protections": [{"kind": "heated enclosure"}]}, "setpoint_C", "0 to 50"),
    ],
)
def test_a_pour_that_cannot_be(
    client: TestClient, store: Store, bench: Bench, changes: JsonDict, field: str, allowed: str
) -> None:
    error = refused(client, "pours", pour(bench, **changes))
    assert error["field"].endswith(field)
    assert allowed in error["allowed"]
    with store.reading() as session:
        assert session.exec(select(func.count()).select_from(Pour)).one() == 0


@pytest.mark.parametrize(
    ("path", "body", "at_h", "wrong"),
    [
        ("readings", {"kind": "air", "value_C": 4}, 1, "lies in the future"),
        ("readings", {"kind": "air", "value_C": 4}, -2, "before the pour"),
        ("strength-tests", {"kind": "cube", "MPa": 9}, -2, "before the pour"),
        ("strength-tests", {"kind": "cube", "MPa": 9}, 1, "lies in the future"),
        ("steps/strip/done", {}, 1, "lies in the future"),
        ("steps/strip/done", {}, -2, "before the pour"),
    ],
)
def test_what_was_seen_or_done_lies_between_the_pour_and_now(
    client: TestClient,
    store: Store,
    pour_id: int,
    now: datetime,
    path: str,
    body: JsonDict,
    at_h: int,
    wrong: str,
) -> None:
    at = (now + timedelta(hours=at_h)).isoformat()
    error = refused(client, f"pours/{pour_id}/{path}", {**body, "at": at})
    assert (error["field"], error["wrong"]) == ("at", wrong)
    with store.reading() as session:
        assert session.exec(select(func.count()).select_from(Reading)).one() == 0


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"kind": "thumb", "value_C": 4}, "kind"),
        ({"kind": "air-min-max", "value_C": 4}, "value_max_C"),
        ({"kind": "air-min-max", "value_C": 4, "value_max_C": 3}, "value_max_C"),
        ({"kind": "air", "value_C": 400}, "value_C"),
        ({"kind": "air", "value_C": "4 bar"}, "value_C"),
        ({"kind": "tile"}, "mass_g"),
        ({"kind": "tile", "mass_g": 0.4}, "mass_g"),
        ({"kind": "tile", "mass_g": "-2 kg"}, "mass_g"),
        ({"kind": "tile", "mass_g": "2 psi"}, "mass_g"),
        ({"kind": "air", "value_C": 4, "mass_g": 1800}, "mass_g"),
        ({"kind": "film-wet", "mass_g": 1800}, "mass_g"),
        ({"kind": "film", "value_C": 1}, "kind"),
    ],
)
def test_a_reading_that_cannot_be(
    client: TestClient, pour_id: int, body: object, field: str
) -> None:
    assert refused(client, f"pours/{pour_id}/readings", body)["field"] == field


def test_a_step_nobody_knows_is_refused(client: TestClient, pour_id: int) -> None:
    error = refused(client, f"pours/{pour_id}/steps/varnish/done", {})
    assert (error["field"], error["value"]) == ("step", "varnish")
    assert "strip" in error["allowed"]


def test_a_correction_that_contradicts_what_was_logged_is_refused(
    client: TestClient, pour_id: int, now: datetime, windows: Windows
) -> None:
    client.post(f"{API}/pours/{pour_id}/strength-tests", json={"kind": "cube", "MPa": 3})
    later = (now + timedelta(hours=1)).isoformat()
    response = client.patch(f"{API}/pours/{pour_id}", json={"placed_at": later})
    assert response.status_code == 422
    assert "before the pour" in response.json()["errors"][0]["wrong"]
    kept = client.get(f"{API}/pours/{pour_id}").json()["placed_at"]
    assert kept == "2026-10-14T22:00:00Z"
    assert windows.steps == []


def test_a_pour_cannot_be_moved_behind_what_was_done_since(
    client: TestClient, pour_id: int, now: datetime
) -> None:
    half_an_hour_ago = (now - timedelta(minutes=30)).isoformat()
    done = client.post(f"{API}/pours/{pour_id}/steps/finish/done", json={"at": half_an_hour_ago})
    assert done.status_code == 201
    response = client.patch(f"{API}/pours/{pour_id}", json={"placed_at": now.isoformat()})
    assert response.status_code == 422
    assert response.json()["errors"][0]["wrong"] == "a step was done before that"


def test_what_cannot_be_projected_stays_stored_and_says_why(
    client: TestClient, bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuses(*_: object) -> None:
        raise InputError("mix.heat_kJ_kg", 1e9, "made to fail", "less")

    monkeypatch.setattr(timeline, "project", refuses)
    made = client.post(f"{API}/pours", json=pour(bench))
    assert made.status_code == 201
    told = client.get(f"{API}/pours/{made.json()['id']}/projection")
    assert told.status_code == 409
    assert "made to fail" in told.json()["errors"][0]["wrong"]


@pytest.mark.parametrize(
    ("body", "field", "allowed"),
    [
        ({"kind": "tile", "mass_g": 1840, "value_C": 3}, "value_C", "leave it out"),
        ({"kind": "film-dry", "value_C": 5}, "value_C", "leave it out"),
        ({"kind": "final-set", "value_C": 5}, "value_C", "leave it out"),
        ({"kind": "bucket"}, "kind", "one of air"),
    ],
)
def test_a_temperature_of_what_has_none_is_not_dropped_in_silence(
    client: TestClient, pour_id: int, body: JsonDict, field: str, allowed: str
) -> None:
    error = refused(client, f"pours/{pour_id}/readings", body)
    assert error["field"] == field
    assert allowed in error["allowed"]


@pytest.mark.parametrize("noun", ["places", "mixes", "pieces", "moulds", "sealers", "orders"])
@pytest.mark.parametrize("name", ["North\nBcc: all@shop.example", "North\tbench", "North\r"])
def test_a_name_is_one_line(client: TestClient, noun: str, name: str) -> None:
    """It goes into the title of a notice and the header of a file."""
    answer = client.post(f"/api/v1/{noun}", json={"name": name})
    assert answer.status_code == 422
    told = {error["field"]: error["allowed"] for error in answer.json()["errors"]}
    assert told["name"] == "plain text in one line"
