"""The page of the ways to turn a piece: hours, people, pictures, and what the shop can do."""

import re

import pytest
from starlette.testclient import TestClient

from models.piece.shape import Opening, Shape
from models.piece.turning import turning_ways
from service.pages import turning_picture
from service.words import PLAIN
from tests.support.phone import Phone


def test_the_step_leads_to_every_way_with_its_hour_and_its_picture(
    phone: Phone, poured: str
) -> None:
    assert f"{poured}/turn" in phone.open(poured).links
    page = phone.open(f"{poured}/turn")
    assert phone.status == 200
    assert "Tilted up on its long edge" in page.text
    assert "safe from" in page.text
    assert "Strip it first" in page.text
    assert page.source.count('<svg class="turning"') == 7
    assert "not among your gear" in page.text
    assert not page.alone


def test_gear_that_is_told_makes_another_way_the_first(
    phone: Phone, poured: str, client: TestClient
) -> None:
    form = phone.open("/shop/settings").form("/shop")
    phone.send(form, gear=["boards", "rail"], lifters="2")
    assert phone.status == 200
    shop = client.get("/api/v1/shop").json()
    assert (sorted(shop["gear"]), shop["lifters"]) == (["boards", "rail"], 2)
    number = poured.rpartition("/")[2]
    phone.send(phone.open(poured).form("/reckon"))
    ways = client.get(f"/api/v1/pours/{number}/projection").json()["ways"]
    assert {one["way"] for one in ways if one["can"]} >= {"boards", "rail", "long_edge"}
    (first,) = (one for one in ways if one["proposed"])
    assert first["people"] is not None


def test_a_shop_is_told_which_gear_there_is(client: TestClient) -> None:
    refused = client.patch("/api/v1/shop", json={"gear": ["crane"]})
    assert refused.status_code == 422
    assert "gear" in refused.text
    assert "boards" in refused.text
    assert client.patch("/api/v1/shop", json={"lifters": 0}).status_code == 422


@pytest.mark.parametrize(
    "shape",
    [
        Shape(
            "panel", 1800.0, 900.0, 50.0, openings=(Opening(400.0, 300.0), Opening(200.0, 100.0))
        ),
        Shape("panel", 600.0, 2400.0, 30.0),
        Shape("box", 1000.0, 500.0, height_mm=450.0, wall_mm=40.0),
        Shape("block", 900.0, 350.0, height_mm=150.0),
        Shape("round-panel", 900.0, 900.0, 50.0),
        Shape("l-shape", 1200.0, 400.0, 60.0, height_mm=450.0, wall_mm=60.0),
        Shape("basin", 900.0, 500.0, height_mm=200.0, wall_mm=40.0, floor_mm=50.0),
    ],
)
def test_pictures_are_to_scale_and_stay_inside(shape: Shape) -> None:
    for way in turning_ways(shape, 2400.0):
        svg = str(turning_picture.draw(way, shape, PLAIN))
        _, _, width, height = (float(n) for n in re.findall(r'viewBox="([^"]+)"', svg)[0].split())
        for x, y in re.findall(r'<text class="[a-z]*" x="([-\d.]+)" y="([-\d.]+)"', svg):
            assert 0 <= float(x) <= width
            assert 0 <= float(y) <= height
        boxes = [
            tuple(float(n) for n in one)
            for one in re.findall(
                r'<rect class="concrete" x="([-\d.]+)" y="([-\d.]+)" width="([\d.]+)"'
                r' height="([\d.]+)"',
                svg,
            )
        ]
        assert all(x >= 0 and x + w <= width and y + h <= height for x, y, w, h in boxes)
        if shape.kind == "panel":
            long, short = max(shape.length_mm, shape.width_mm), min(shape.length_mm, shape.width_mm)
            assert boxes[0][2] / boxes[0][3] == pytest.approx(long / short, rel=0.01)
        assert 'class="crack"' in svg
