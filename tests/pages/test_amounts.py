"""How much of everything a piece takes: alike by page, interface and scenario file."""

import json
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.support.command import castclock
from tests.support.phone import Phone
from tests.support.shop import Bench
from tests.support.words import said

RECIPE: list[dict[str, Any]] = [
    {"kind": "cement", "kg": 20, "lot": "A7"},
    {"kind": "sand", "kg": 52, "absorption_pct": 1},
    {"kind": "water", "kg": "8.4 kg"},
    {"kind": "pigment", "kg": "2 lb"},
]
PIECE = {"name": "Top", "shape": "panel", "length_mm": 1400, "width_mm": 800, "thickness_mm": 45}
SCENARIO = """
[place]
kind = "unheated room"
timezone = "America/Chicago"
[mix]
class = "flowing"
{recipe}
[piece]
shape = "panel"
length_mm = 1400
width_mm = 800
thickness_mm = 45
[pour]
at = "2026-11-20T18:00:00+01:00"
[amounts]
batch_l = 20
step_g = 10
damp_pct = 6
"""


@pytest.fixture
def piece(client: TestClient) -> int:
    return int(client.post("/api/v1/pieces", json=PIECE).json()["id"])


@pytest.fixture
def own_mix(client: TestClient) -> int:
    answer = client.post(
        "/api/v1/mixes", json={"class": "flowing", "name": "Own", "recipe": RECIPE}
    )
    assert answer.status_code == 201, answer.text
    return int(answer.json()["id"])


def asked(client: TestClient, piece: int, mix: int, **query: Any) -> dict[str, Any]:
    answer = client.get(f"/api/v1/pieces/{piece}/amounts", params={"mix_id": mix, **query})
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.json()
    return told


def test_a_maker_reads_bags_and_hands_of_a_piece_and_prints_its_batches(
    phone: Phone, bench: Bench
) -> None:
    mix = phone.open(f"/shop/mix/{bench.mix_id}").form(f"/shop/mix/{bench.mix_id}")
    phone.send(mix, mix__bag_kg="36 kg", mix__bag_yield_l="17 l", mix__bag_water_most_l="3.4 l")
    page = phone.open(f"/pieces/{bench.piece_id}/amounts")
    assert phone.status == 200, (phone.page.notes, phone.page.text[:900])
    form = page.form("/amounts")
    page = phone.send(form, batch_bags="1", more_water_l="0.5 l", mesh_pitch_mm="2 in")
    assert phone.status == 200, (phone.page.notes, phone.page.text[:900])
    for told in ("Bags", "Weighs wet", "batches", "more water", "Mesh to cut", "Dry bag"):
        assert told in page.text
    assert not page.alone


def test_the_three_doors_tell_the_same(
    client: TestClient, piece: int, own_mix: int, tmp_path: Path
) -> None:
    told = asked(client, piece, own_mix, batch_l="20 l", step_g=10, damp_pct=6)
    parts = "\n".join(
        "[[mix.recipe]]\n" + "\n".join(f"{k} = {json.dumps(v)}" for k, v in row.items())
        for row in RECIPE
    )
    file = tmp_path / "top.toml"
    file.write_text(SCENARIO.format(recipe=parts), encoding="utf-8")
    ended = castclock("amounts", file, "--json")
    assert ended.code == 0, ended.err
    printed = json.loads(ended.out)
    own = {"piece_id": None, "mix_id": None}
    assert {**told, **own} == printed


def test_every_product_of_a_finish_is_bought_by_its_own_sheet(
    client: TestClient, phone: Phone, bench: Bench, piece: int, own_mix: int, tmp_path: Path
) -> None:
    keys = [
        int(client.post("/api/v1/sealers", json=row).json()["id"])
        for row in (
            {"name": "Hard", "chemistry": "densifier", "coats": 1, "coverage_m2_l": 8.0},
            {"name": "Wax", "chemistry": "wax", "coats": 2, "coverage_m2_l": 20.0},
        )
    ]
    told = asked(client, piece, own_mix, sealer_id=keys[0], sealer_then=keys[1])
    (wax,) = told["then"]
    assert (told["coats"]["chemistry"], wax["chemistry"]) == ("densifier", "wax")
    assert wax["sealer_l"] == pytest.approx(told["coats"]["sealer_l"] * 2 * 8 / 20)
    assert asked(client, piece, own_mix, sealer_id=keys[0])["then"] == []
    query = {"mix_id": own_mix, "sealer_id": keys[1], "sealer_then": keys[0]}
    refused = client.get(f"/api/v1/pieces/{piece}/amounts", params=query)
    assert (refused.status_code, refused.json()["errors"][0]["field"][:6]) == (422, "finish")
    pour: dict[str, Any] = {"piece_id": piece, "mix_id": own_mix, "place_id": bench.place_id}
    pour |= {"sealer_id": keys[0], "sealer_then": [keys[1]]}
    assert client.post("/api/v1/pours", json=pour).status_code == 201
    page = phone.open(f"/pieces/{piece}/amounts")  # as the last pour of it has them
    assert f"Then {said('chemistry.wax')}" in page.text
    file = tmp_path / "top.toml"
    finish = '[[finish]]\nchemistry = "densifier"\n[[finish]]\nchemistry = "wax"\n'
    file.write_text(SCENARIO.format(recipe="") + finish, encoding="utf-8")
    printed = json.loads(castclock("amounts", file, "--json").out)
    assert [one["chemistry"] for one in printed["then"]] == ["wax"]


def test_damp_sand_is_weighed_wet_and_its_water_taken_off(
    client: TestClient, piece: int, own_mix: int
) -> None:
    def batch(**query: Any) -> dict[str, float]:
        told = asked(client, piece, own_mix, batch_l=20, **query)
        return {row["kind"]: row["kg"] for row in told["batches"]["card"]}

    dry, damp = batch(damp_pct=1), batch(damp_pct=6)
    more = damp["sand"] - dry["sand"]
    assert more == pytest.approx(dry["sand"] * 0.05 / 1.01)
    assert dry["water"] - damp["water"] == pytest.approx(more)
    assert dry["cement"] == damp["cement"]


def test_a_recipe_tells_cement_and_water_and_refuses_a_figure_beside_it_that_differs(
    client: TestClient, own_mix: int
) -> None:
    mix = client.get(f"/api/v1/mixes/{own_mix}").json()
    assert mix["recipe"][0] == {"kind": "cement", "kg": 20.0, "lot": "A7"}
    wrong = {"class": "flowing", "name": "Other", "recipe": RECIPE, "water_cement": 0.5}
    answer = client.post("/api/v1/mixes", json=wrong)
    assert answer.status_code == 422
    assert "0.42" in answer.text


def test_more_pigment_than_the_standard_is_refused_by_both_masses(client: TestClient) -> None:
    rich = [*RECIPE[:3], {"kind": "pigment", "kg": 2.5}]
    answer = client.post("/api/v1/mixes", json={"class": "flowing", "name": "Red", "recipe": rich})
    assert answer.status_code == 422
    assert "2.5 kg of pigment to 20 kg of cement" in answer.text


def test_a_recipe_is_typed_on_the_phone_two_parts_more_at_a_time(
    phone: Phone, client: TestClient
) -> None:
    form = phone.open("/shop/mix/new").form("/shop/mix/new")
    assert "mix.part2.kind" not in form.fields
    first = {"mix__part0__kind": "cement", "mix__part0__kg": "20 kg", "mix__part0__lot": "B 12"}
    phone.send(form, mix__kind="flowing", mix__name="Typed", **first, mix__part1__kind="water")
    assert phone.status == 422  # of the water no mass
    assert "mix.part1.kg" in phone.page.notes
    form = phone.page.form("/shop/mix/new")
    assert form.fields["mix.part0.lot"] == ["B 12"]
    phone.send(form, mix__part0__kind="bag", mix__part1__kg="3 kg")
    assert phone.status == 200
    row = client.get("/api/v1/mixes", params={"q": "Typed"}).json()[0]
    form = phone.open(f"/shop/mix/{row['id']}").form(f"/shop/mix/{row['id']}")
    phone.send(form, mix__part2__kind="fibre", mix__part2__kg="15 g")
    row = client.get(f"/api/v1/mixes/{row['id']}").json()
    assert [part["kind"] for part in row["recipe"]] == ["bag", "water", "fibre"]
    assert row["recipe"][0]["lot"] == "B 12"


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ({"damp_pct": "60"}, "damp_pct"),
        ({"batch_l": 5, "batch_bags": 1}, "batch_l"),
        ({"pigment_pct": 3}, "pigment_pct"),
        ({"batch_bags": 1}, "batch_bags"),
        ({"sand": 1}, "sand"),
    ],
)
def test_what_cannot_be_is_refused_by_its_name(
    client: TestClient, piece: int, own_mix: int, query: dict[str, Any], field: str
) -> None:
    answer = client.get(f"/api/v1/pieces/{piece}/amounts", params={"mix_id": own_mix, **query})
    assert answer.status_code == 422
    assert field in answer.text


def test_a_wrong_figure_stands_beside_its_box(phone: Phone, bench: Bench) -> None:
    form = phone.open(f"/pieces/{bench.piece_id}/amounts").form("/amounts")
    page = phone.send(form, waste_pct="80 %")
    assert phone.status == 422
    assert "waste_pct" in page.notes
