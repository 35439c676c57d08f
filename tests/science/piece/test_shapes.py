"""Every kind of piece against solids that are cut and joined as meshes (manifold3d).

They are put together here from the maker's words and not from the program's parts.
"""

from dataclasses import dataclass, replace
from typing import Any

import manifold3d
import numpy as np
import pytest
from numpy.typing import NDArray

from models.piece.shape import Opening, Shape

ROUND = 360  # corners of a circle: 5e-5 of its area, 1.3e-5 of its length
Mesh = Any


def block(x: float, y: float, z: float, long: float, wide: float, high: float) -> Mesh:
    return manifold3d.Manifold.cube([long, wide, high]).translate([x, y, z])


def frustum(low: tuple[float, ...], high: tuple[float, ...]) -> Mesh:
    """Of two level rectangles: left, front, right, back, height."""
    corners = [
        [x, y, end[4]] for end in (low, high) for x in (end[0], end[2]) for y in (end[1], end[3])
    ]
    return manifold3d.Manifold.hull_points(np.array(corners))


def oval(x: float, y: float, z: float, long: float, wide: float, high: float) -> Mesh:
    return (
        manifold3d.Manifold.cylinder(high, 0.5, circular_segments=ROUND)
        .scale([long, wide, 1.0])
        .translate([x, y, z])
    )


def middle(mesh: Mesh) -> NDArray[np.float64]:
    """Centre of a closed mesh: tetrahedra from the origin to each of its triangles."""
    told = mesh.to_mesh64()
    a, b, c = (told.vert_properties[told.tri_verts[:, k], :3] for k in range(3))
    volumes = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    return np.asarray((volumes[:, None] * (a + b + c) / 4).sum(axis=0) / volumes.sum())


@dataclass(frozen=True)
class Case:
    """A shape beside what its mesh measures: litres, m2, centre in mm."""

    shape: Shape
    litres: float
    skin_m2: float
    centre: list[float]


def case_of(shape: Shape, mesh: Mesh) -> Case:
    """No mesh is kept: its library complains of those that outlive it."""
    return Case(shape, mesh.volume() / 1e6, mesh.surface_area() / 1e6, middle(mesh).tolist())


def slab_with_basin() -> Case:
    shape = Shape(
        "slab-with-basin",
        1200.0,
        550.0,
        thickness_mm=50.0,
        wall_mm=40.0,
        floor_mm=35.0,
        bowl_length_mm=400.0,
        bowl_width_mm=300.0,
        bowl_depth_mm=150.0,
        bowl_left_mm=500.0,
        slope_mm=15.0,
        draft_mm=20.0,
        drain_mm=45.0,
        openings=(Opening(35.0, 35.0, form="round", left_mm=200.0, front_mm=400.0),),
    )
    # foot at 0, drain at 35, slab from 135 to 185; mouth 500..900 by 125..425 at 185
    lean = 20.0 / 135.0  # by which a wall leans a millimetre, from its foot at 50 to its mouth
    at_slab, at_foot = lean * 50.0, lean * 185.0
    shell = frustum(
        (460 + at_foot, 85 + at_foot, 940 - at_foot, 465 - at_foot, 0.0),
        (460 + at_slab, 85 + at_slab, 940 - at_slab, 465 - at_slab, 135.0),
    )
    mesh = block(0, 0, 135, 1200, 550, 50) + shell
    mesh -= frustum((520, 145, 880, 405, 50), (500, 125, 900, 425, 185))
    mesh -= frustum((677.5, 252.5, 722.5, 297.5, 35), (520, 145, 880, 405, 50))
    mesh -= oval(700, 275, -1, 45, 45, 37)
    mesh -= oval(217.5, 417.5, 100, 35, 35, 200)
    return case_of(shape, mesh)


def basin() -> Case:
    shape = Shape(
        "basin",
        600.0,
        420.0,
        height_mm=160.0,
        wall_mm=35.0,
        floor_mm=30.0,
        slope_mm=20.0,
        draft_mm=15.0,
        drain_mm=45.0,
    )
    mesh = block(0, 0, 0, 600, 420, 160)
    mesh -= frustum((50, 50, 550, 370, 50), (35, 35, 565, 385, 160))
    mesh -= frustum((277.5, 187.5, 322.5, 232.5, 30), (50, 50, 550, 370, 50))
    mesh -= oval(300, 210, -1, 45, 45, 32)
    return case_of(shape, mesh)


def planter() -> Case:
    """Tapered, with a thick floor, a ledge for a grate, a drain, and a slot in its right wall."""
    shape = Shape(
        "box",
        700.0,
        500.0,
        height_mm=450.0,
        wall_mm=50.0,
        floor_mm=60.0,
        ledge_mm=25.0,
        ledge_thickness_mm=40.0,
        ledge_down_mm=90.0,
        openings=(
            Opening(40.0, 40.0, form="round", left_mm=200.0, front_mm=150.0),
            Opening(200.0, 60.0, wall="right", left_mm=120.0, front_mm=100.0),
            Opening(80.0, 80.0, form="round", wall="back", front_mm=200.0),
        ),
    )
    mesh = block(0, 0, 0, 700, 500, 450) - block(50, 50, 60, 600, 400, 390)
    mesh += block(50, 50, 320, 600, 400, 40) - block(75, 75, 320, 550, 350, 40)
    mesh -= oval(220, 170, -1, 40, 40, 70)
    mesh -= block(640, 120, 100, 70, 200, 60)
    round_hole = manifold3d.Manifold.cylinder(70, 40, circular_segments=ROUND)
    mesh -= round_hole.rotate([90, 0, 0]).translate([350, 510, 240])
    return case_of(shape, mesh)


def tapered() -> Case:
    shape = Shape("box", 600.0, 400.0, height_mm=500.0, wall_mm=40.0, floor_mm=0.0, taper_mm=50.0)
    mesh = frustum((50, 50, 550, 350, 0), (0, 0, 600, 400, 500))
    mesh -= frustum((90, 90, 510, 310, 0), (40, 40, 560, 360, 500))
    return case_of(shape, mesh)


def round_with_drop_edge() -> Case:
    shape = Shape(
        "round-panel",
        900.0,
        700.0,
        thickness_mm=30.0,
        drop_edge_mm=80.0,
        drop_wall_mm=35.0,
        openings=(Opening(60.0, 60.0, form="round"),),
    )
    mesh = oval(450, 350, 0, 900, 700, 80) - oval(450, 350, -1, 830, 630, 51)
    return case_of(shape, mesh - oval(450, 350, 40, 60, 60, 60))


def counter(sides: str) -> Case:
    shape = Shape(
        "panel",
        1800.0,
        600.0,
        thickness_mm=25.0,
        drop_edge_mm=60.0,
        drop_wall_mm=30.0,
        drop_sides=sides,
        openings=(Opening(480.0, 380.0, left_mm=300.0, front_mm=90.0),),
    )
    walls = {
        "front": block(0, 0, 0, 1800, 30, 40),
        "back": block(0, 570, 0, 1800, 30, 40),
        "left": block(0, 0, 0, 30, 600, 40),
        "right": block(1770, 0, 0, 30, 600, 40),
    }
    named = {
        "all": ("front", "back", "left", "right"),
        "front": ("front",),
        "front-and-ends": ("front", "left", "right"),
        "long-sides": ("front", "back"),
        "ends": ("left", "right"),
    }
    mesh = block(0, 0, 35, 1800, 600, 25)
    for side in named[sides]:
        mesh += walls[side].trim_by_plane([0.0, 0.0, -1.0], -35.0)
    return case_of(shape, mesh - block(300, 90, 30, 480, 380, 40))


def ribbed(ribs: int) -> Case:
    shape = Shape(
        "ribbed-panel", 1400.0, 500.0, thickness_mm=25.0, ribs=ribs, rib_mm=40.0, rib_depth_mm=35.0
    )
    mesh = block(0, 0, 35, 1400, 500, 25)
    for k in range(ribs):
        front = 230.0 if ribs == 1 else k * 460.0 / (ribs - 1)
        mesh += block(0, front, 0, 1400, 40, 35)
    return case_of(shape, mesh)


def legged(kind: str) -> Case:
    shape = Shape(kind, 1500.0, 400.0, thickness_mm=60.0, height_mm=450.0, wall_mm=70.0)
    mesh = block(0, 0, 390, 1500, 400, 60) + block(0, 0, 0, 70, 400, 390)
    if kind == "u-shape":
        mesh += block(1430, 0, 0, 70, 400, 390)
    return case_of(shape, mesh)


def stair() -> Case:
    shape = Shape("steps", 900.0, 800.0, height_mm=510.0, steps=3)
    mesh = block(0, 0, 0, 900, 800, 170) + block(300, 0, 170, 600, 800, 170)
    return case_of(shape, mesh + block(600, 0, 340, 300, 800, 170))


def rounded(axis: str) -> Case:
    """An opening with told corners: of a sink in a counter, and of a slot in a planter's wall."""
    hole = Opening(400.0, 300.0, left_mm=200.0, front_mm=100.0, corner_mm=60.0)
    if axis == "z":
        shape = Shape("panel", 1000.0, 500.0, 40.0, openings=(hole,))
        return case_of(shape, block(0, 0, 0, 1000, 500, 40) - bar(200, 100, -1, 400, 300, 42, 60))
    slot = replace(hole, wall="front", width_mm=200.0)
    shape = Shape("box", 900.0, 500.0, height_mm=450.0, wall_mm=50.0, openings=(slot,))
    mesh = block(0, 0, 0, 900, 500, 450) - block(50, 50, 50, 800, 400, 400)
    cut = bar(200, 100, -51, 400, 200, 52, 60).rotate([90, 0, 0])
    return case_of(shape, mesh - cut)


def bar(x: float, y: float, z: float, long: float, wide: float, high: float, r: float) -> Mesh:
    """Upright, its four edges rounded."""
    found = block(x + r, y, z, long - 2 * r, wide, high)
    found += block(x, y + r, z, long, wide - 2 * r, high)
    for middle_x in (x + r, x + long - r):
        for middle_y in (y + r, y + wide - r):
            found += oval(middle_x, middle_y, z, 2 * r, 2 * r, high)
    return found


CASES = {
    "rounded sink": rounded("z"),
    "rounded slot in a wall": rounded("y"),
    "slab with basin": slab_with_basin(),
    "basin": basin(),
    "planter": planter(),
    "tapered, without floor": tapered(),
    "oval with drop edge": round_with_drop_edge(),
    **{f"counter, {one}": counter(one) for one in ("all", "front", "ends", "long-sides")},
    "counter, front and ends": counter("front-and-ends"),
    "one rib": ribbed(1),
    "four ribs": ribbed(4),
    "L": legged("l-shape"),
    "U": legged("u-shape"),
    "steps": stair(),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_a_piece_holds_what_its_mesh_holds(case: Case) -> None:
    assert case.shape.volume_l == pytest.approx(case.litres, rel=1e-4)


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_a_piece_balances_where_its_mesh_does(case: Case) -> None:
    assert case.shape.centre_of_gravity_mm == pytest.approx(case.centre, abs=0.1)


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_faces_together_are_the_skin_of_the_mesh(case: Case) -> None:
    faces = sum(face.area_m2 for face in case.shape.faces)
    assert faces == pytest.approx(case.skin_m2, rel=2e-4)


def test_a_drop_edge_thinner_than_its_panel_is_the_thinnest_part() -> None:
    for kind in ("panel", "round-panel"):
        thin = Shape(kind, 900.0, 900.0, 40.0, drop_edge_mm=90.0, drop_wall_mm=25.0)
        assert (thin.thinnest_mm, thin.section_mm) == (25.0, 25.0)
        assert (
            Shape(kind, 900.0, 900.0, 20.0, drop_edge_mm=90.0, drop_wall_mm=25.0).thinnest_mm
            == 20.0
        )
