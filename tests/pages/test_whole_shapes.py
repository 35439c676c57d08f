"""Telling a whole shape: on the phone, by the interface and in a file, and the drawing of it."""

import json
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from service import scenario_file
from tests.support.command import castclock
from tests.support.phone import Phone

COUNTER: dict[str, Any] = {
    "shape": "slab-with-basin",
    "length_mm": 1200.0,
    "width_mm": 550.0,
    "thickness_mm": 50.0,
    "wall_mm": 40.0,
    "floor_mm": 35.0,
    "bowl_length_mm": 400.0,
    "bowl_width_mm": 300.0,
    "bowl_depth_mm": 150.0,
    "bowl_left_mm": 500.0,
    "slope_mm": 15.0,
    "draft_mm": 20.0,
    "drain_mm": 45.0,
    "opening": [
        {"length_mm": 35.0, "form": "round", "left_mm": 200.0, "front_mm": 400.0},
        {"length_mm": 120.0, "width_mm": 90.0, "corner_mm": 25.4, "left_mm": 60.0},
    ],
    "face": [{"face": "underside", "shown": True}],
    "insert": [{"material": "stainless", "depth_mm": 30.0, "edge_mm": 60.0, "load_kg": 40.0}],
}
TYPED = {
    "piece.name": "Wash counter",
    "piece.shape": "slab-with-basin",
    "piece.length_mm": "1.2 m",
    "piece.width_mm": "55 cm",
    "piece.thickness_mm": "50",
    "piece.wall_mm": "40",
    "piece.floor_mm": "35",
    "piece.bowl_length_mm": "400",
    "piece.bowl_width_mm": "300",
    "piece.bowl_depth_mm": "150",
    "piece.bowl_left_mm": "500",
    "piece.slope_mm": "15",
    "piece.draft_mm": "20",
    "piece.drain_mm": "45",
    "piece.hole0.length_mm": "35",
    "piece.hole0.form": "round",
    "piece.hole0.left_mm": "200",
    "piece.hole0.front_mm": "400",
    "piece.hole1.length_mm": "120",
    "piece.hole1.width_mm": "90",
    "piece.hole1.corner_mm": "1 in",
    "piece.hole1.left_mm": "60",
    "piece.face.underside.shown": "shown",
    "piece.insert0.material": "stainless",
    "piece.insert0.depth_mm": "30",
    "piece.insert0.edge_mm": "60",
    "piece.insert0.load_kg": "40 kg",
}


def told(client: TestClient, key: int) -> dict[str, Any]:
    answer = client.get(f"/api/v1/pieces/{key}/shape")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def toml(piece: dict[str, Any]) -> str:
    def lines(values: dict[str, Any]) -> list[str]:
        return [f"{k} = {json.dumps(v)}" for k, v in values.items() if not isinstance(v, list)]

    parts = [
        f"[[piece.{k}]]" + "\n" + "\n".join(lines(one))
        for k in ("opening", "face", "insert")
        for one in piece.get(k, ())
    ]
    return "\n".join(
        [
            '[place]\nkind = "unheated room"\ntimezone = "UTC"',
            '[mix]\nclass = "general-purpose"',
            "[piece]",
            *lines(piece),
            *parts,
            '[pour]\nat = "2026-10-01T08:00:00+00:00"',
        ]
    )


def test_phone_interface_and_file_tell_the_same_piece(
    phone: Phone, client: TestClient, tmp_path: Path
) -> None:
    form = phone.open("/shop/piece/new").form("/shop/piece/new")
    phone.send(form, **{name.replace(".", "__"): value for name, value in TYPED.items()})
    assert (phone.status, phone.path) == (200, "/shop"), phone.page.notes
    sent = client.post("/api/v1/pieces", json={"name": "By interface", **COUNTER})
    assert sent.status_code == 201, sent.text
    file = tmp_path / "counter.toml"
    file.write_text(toml(COUNTER), encoding="utf-8")
    of_phone, of_interface = told(client, 1), told(client, sent.json()["id"])
    assert of_phone == of_interface
    shape = scenario_file.read(file).scenario.shape
    assert of_phone["volume_l"] == pytest.approx(shape.volume_l, abs=0.01)
    assert [one["face"] for one in of_phone["faces"]] == [one.key for one in shape.faces]
    printed = json.loads(castclock("piece", str(file), "--json").out)
    assert printed["faces"] == of_phone["faces"]
    assert printed["inserts"][0]["need_MPa"] == of_phone["inserts"][0]["need_MPa"] > 0


def test_a_piece_saved_again_as_it_is_keeps_every_measure(phone: Phone, client: TestClient) -> None:
    client.post("/api/v1/pieces", json={"name": "Counter", **COUNTER})
    before = client.get("/api/v1/pieces/1").json()
    phone.send(phone.open("/shop/piece/1").form("/shop/piece/1"))
    assert phone.path == "/shop", phone.page.notes
    after = client.get("/api/v1/pieces/1").json()
    lists = ("opening", "face", "insert")
    assert {k: v for k, v in after.items() if k not in lists} == {
        k: v for k, v in before.items() if k not in lists
    }
    for part in lists:
        rows = [{k: v for k, v in row.items() if v not in (None, False)} for row in before[part]]
        kept = [{k: v for k, v in row.items() if v not in (None, False)} for row in after[part]]
        assert [{**row, "form": row.get("form", "rectangle")} for row in kept] == [
            {**row, "form": row.get("form", "rectangle")} for row in rows
        ]


def test_it_is_drawn_before_it_is_saved(phone: Phone, client: TestClient) -> None:
    form = phone.open("/shop/piece/new").form("/shop/piece/new")
    values = {name.replace(".", "__"): value for name, value in TYPED.items()}
    phone.send(form, "Draw it first", **values)
    assert phone.status == 200
    assert '<svg xmlns="http://www.w3.org/2000/svg" class="drawing"' in phone.page.source
    assert "1200 mm" in phone.page.text
    assert not client.get("/api/v1/pieces").json()


def test_a_corner_without_room_is_told_beside_its_box_and_by_the_interface(
    phone: Phone, client: TestClient
) -> None:
    form = phone.open("/shop/piece/new").form("/shop/piece/new")
    values = {name.replace(".", "__"): value for name, value in TYPED.items()}
    page = phone.send(form, "Draw it first", **{**values, "piece__hole1__corner_mm": "46"})
    assert phone.status == 422
    assert "90 mm" in page.notes["piece.hole1.corner_mm"]
    hole = {"length_mm": 120.0, "width_mm": 90.0, "corner_mm": 46.0}
    sent = client.post("/api/v1/pieces", json={"name": "No", **COUNTER, "opening": [hole]})
    assert sent.status_code == 422
    (wrong,) = sent.json()["errors"]
    assert wrong["field"] == "opening[0].corner_mm"
    assert "90 mm" in json.dumps(wrong)


def test_a_clash_is_told_beside_its_box_with_both_numbers(phone: Phone) -> None:
    form = phone.open("/shop/piece/new").form("/shop/piece/new")
    values = {name.replace(".", "__"): value for name, value in TYPED.items()}
    page = phone.send(form, "Draw it first", **{**values, "piece__bowl_length_mm": "1150"})
    assert phone.status == 422
    note = page.notes["piece.bowl_length_mm"]
    assert "1200 mm" in note
    assert "40 mm" in note


def test_a_round_top_is_told_by_its_diameter(phone: Phone, client: TestClient) -> None:
    form = phone.open("/shop/piece/new").form("/shop/piece/new")
    phone.send(
        form,
        piece__name="Bistro top",
        piece__shape="round-panel",
        piece__length_mm="700",
        piece__thickness_mm="35",
    )
    assert phone.path == "/shop", phone.page.notes
    assert client.get("/api/v1/pieces/1").json()["width_mm"] == 700.0
    sent = client.post(
        "/api/v1/pieces",
        json={"name": "Other", "shape": "round-panel", "length_mm": 700, "thickness_mm": 35},
    )
    assert (sent.status_code, sent.json()["width_mm"]) == (201, 700.0)


def test_a_rectangle_without_its_second_measure_is_sent_back(phone: Phone) -> None:
    form = phone.open("/shop/piece/new").form("/shop/piece/new")
    page = phone.send(
        form,
        piece__length_mm="900",
        piece__width_mm="300",
        piece__thickness_mm="40",
        piece__hole0__width_mm="100",
    )
    assert phone.status == 422
    assert "piece.hole0.length_mm" in page.notes


def test_the_page_of_a_piece_shows_drawing_faces_and_what_to_mind(
    phone: Phone, client: TestClient
) -> None:
    counter = {**COUNTER, "insert": [{"material": "aluminium"}]}
    client.post("/api/v1/pieces", json={"name": "Counter", **counter})
    page = phone.open("/pieces/1")
    assert phone.status == 200
    assert "inside walls" in page.text
    assert "bitumen" in page.text
    assert not page.alone
    drawn = client.get("/api/v1/pieces/1/drawing.svg")
    assert drawn.headers["content-type"].startswith("image/svg+xml")
    root = ET.fromstring(drawn.text)
    words = [one.text for one in root.iter("{http://www.w3.org/2000/svg}text")]
    assert "1200 mm" in words
    assert "400 × 300 mm" in words


def test_the_drawing_is_to_scale(client: TestClient) -> None:
    """The outline from above is as much wider than high as the piece is."""
    shape = {"shape": "panel", "length_mm": 1400, "width_mm": 800, "thickness_mm": 45}
    client.post("/api/v1/pieces", json={"name": "Top", **shape})
    root = ET.fromstring(client.get("/api/v1/pieces/1/drawing.svg").text)
    path = next(
        one
        for one in root.iter("{http://www.w3.org/2000/svg}path")
        if one.get("class") == "concrete"
    )
    points = [
        tuple(map(float, pair.split())) for pair in (path.get("d") or "").strip("MZ").split("L")
    ]
    wide = max(x for x, _ in points) - min(x for x, _ in points)
    high = max(y for _, y in points) - min(y for _, y in points)
    assert wide / high == pytest.approx(1400 / 800, rel=2e-3)
