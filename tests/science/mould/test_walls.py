"""Whether the walls of a mould hold, and what would hold."""

from dataclasses import replace

import numpy as np
import pytest

from models.concrete.section import MouldBoard
from models.errors import InputError
from models.facts.boards import BENDING
from models.facts.materials import BOARDS
from models.mould import told
from models.mould.check import WORST, check, state_of
from models.mould.pressure import Placing, pressing_kg_m3
from models.piece.shape import Opening, Shape
from service.words import PLAIN, say

PLANTER = Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0)
TOP = Shape("panel", 1400.0, 800.0, 45.0, openings=(Opening(300.0, 300.0),))
FULL = Placing()


def test_each_way_that_is_named_holds_by_itself_and_a_little_less_does_not() -> None:
    board = MouldBoard("melamine", 16.0, brace_spacing_mm=400.0, screw_length_mm=70.0)
    wall = check(PLANTER, board, FULL).walls[0]
    assert wall.state == "bows"
    assert wall.would is not None
    brace, thick, lift = (
        wall.would.brace_spacing_mm,
        wall.would.thickness_mm,
        wall.would.lift_mm,
    )
    assert brace
    assert thick
    assert lift

    def state(board: MouldBoard) -> str:
        return state_of(check(PLANTER, board, FULL).walls[0])

    screwed = replace(board, screw_spacing_mm=wall.would.screw_spacing_mm)
    assert state(replace(screwed, brace_spacing_mm=brace)) == "holds"
    assert state(replace(screwed, brace_spacing_mm=brace + 10)) != "holds"
    assert state(replace(screwed, thickness_mm=thick)) == "holds"
    assert state_of(check(PLANTER, screwed, FULL, lift).walls[0]) == "holds"
    assert check(PLANTER, screwed, FULL, lift + 10).walls[0].state != "holds"


def test_more_of_what_presses_or_less_of_what_holds_is_never_better() -> None:
    def bow(board: MouldBoard, fresh: float | None = None) -> float:
        return max(one.bow_mm[1] for one in check(PLANTER, board, FULL, fresh).walls)

    usual = MouldBoard("melamine", 19.0, brace_spacing_mm=300.0)
    assert bow(usual) > bow(replace(usual, thickness_mm=22.0))
    assert bow(usual) > bow(replace(usual, rim_held=True))
    assert bow(usual) < bow(replace(usual, brace_spacing_mm=350.0))
    assert bow(usual, 300.0) < bow(usual)


def test_a_thin_wall_breaks_and_is_told_first() -> None:
    found = check(PLANTER, MouldBoard("glass", 4.0), FULL)
    assert found.state == "breaks"
    assert WORST.index("breaks") == 0
    assert all(one.screwed is None for one in found.walls)  # glass takes none


def test_low_rails_of_a_table_top_hold_on_their_screws_alone() -> None:
    found = check(TOP, MouldBoard("melamine", 16.0), FULL)
    assert found.state == "holds"
    assert {one.foot for one in found.walls} == {"clamped"}
    assert found.uplifts[0].part == "knock_out"


def test_a_core_is_pressed_inward_over_less_than_the_outer_wall() -> None:
    outer, _, core, _ = check(PLANTER, MouldBoard(), FULL).walls
    assert core.panel.inward
    assert core.panel.length_mm == 600.0
    assert core.panel.height_mm == 550.0
    assert core.force_N < outer.force_N
    assert outer.force_N == pytest.approx(2400 * 9.80665 * 0.6**2 / 2 * 0.7, rel=1e-4)


def test_screws_hold_at_the_spacing_that_is_told() -> None:
    board = MouldBoard("melamine", 19.0, brace_spacing_mm=230.0, rim_held=True)
    screwed = check(PLANTER, board, FULL).walls[0].screwed
    assert screwed is not None
    near = min(screwed.spacing_mm, screwed.foot_spacing_mm)
    assert check(PLANTER, replace(board, screw_spacing_mm=near), FULL).state == "holds"
    assert check(PLANTER, replace(board, screw_spacing_mm=near + 10), FULL).state == "screws"


def test_bow_of_ninety_boards_in_a_hundred_decides() -> None:
    wall = check(PLANTER, MouldBoard("film-faced plywood", 18.0, 300.0), FULL).walls[0]
    low, half, late = wall.bow_mm
    assert low < half < late
    assert (late <= wall.allowed_mm) == (wall.state == "holds")
    assert wall.strip_mm > half  # a bound


def test_what_is_impossible_names_both_numbers() -> None:
    with pytest.raises(InputError, match=r"fresh_mm = 700.*600 mm"):
        check(PLANTER, MouldBoard(), FULL, 700.0)
    with pytest.raises(InputError, match=r"screw_length_mm = 20.*4 mm.*16 mm"):
        check(PLANTER, MouldBoard(screw_length_mm=20.0), FULL)
    with pytest.raises(InputError, match="brace_spacing_mm"):
        MouldBoard(brace_spacing_mm=20.0)


def test_slow_placing_of_a_stiff_mix_presses_less_only_where_it_is_deep() -> None:
    tall = Shape("block", 300.0, 300.0, height_mm=2500.0)
    slow = Placing(placing_h=4.0, concrete_C=20.0, slump_mm=100.0, shaken=False)
    assert check(tall, MouldBoard(), slow).pressure.rule == "aci_347"
    assert check(PLANTER, MouldBoard(), slow).pressure.rule == "full_head"
    assert check(tall, MouldBoard(), replace(slow, shaken=True)).pressure.rule == "full_head"


@pytest.mark.parametrize("material", [key for key in BOARDS if key != "ground"])
def test_every_board_has_its_words(material: str) -> None:
    assert BENDING[material]
    for shape in (PLANTER, TOP):
        found = check(shape, MouldBoard(material, 20.0), FULL)
        messages = [*told.walls(found), *told.screws(found), *told.uplifts(found)]
        assert all(say(one, PLAIN) for one in (*messages, *told.material(material)))
        drinks = "mould_drinks" in [one.code for one in told.material(material)]
        assert drinks == (BENDING[material].absorbs == "much")
    assert np.isfinite(found.pressure.most_kPa)


def test_a_core_that_stands_on_the_base_is_pressed_by_the_floor_over_it_too() -> None:
    down = replace(PLANTER, cast_way="face-down")
    found = check(down, MouldBoard(), FULL)
    core = next(one for one in found.walls if one.panel.part == "core_side")
    assert core.panel.over_mm == 50.0
    assert core.foot_kPa == found.pressure.most_kPa
    assert core.force_N == pytest.approx(2400 * 9.80665 * (0.6**2 - 0.05**2) / 2 * 0.6, rel=1e-4)
    assert [one.part for one in found.uplifts] == ["core_standing"]


def test_a_round_wall_is_held_by_its_strap() -> None:
    found = check(Shape("round-panel", 900.0, 900.0, 60.0), MouldBoard(), FULL)
    assert found.state == "unknown"
    assert found.hoop_N == pytest.approx(2400 * 9.80665 * 0.06**2 / 2 * 0.45, rel=1e-4)


@pytest.mark.parametrize(
    ("shape", "depth"),
    [
        (Shape("basin", 600.0, 400.0, height_mm=150.0, wall_mm=40.0, floor_mm=40.0), 150.0),
        (Shape("steps", 900.0, 350.0, height_mm=300.0, steps=2), 350.0),
        (Shape("l-shape", 900.0, 350.0, 50.0, height_mm=400.0, wall_mm=50.0), 350.0),
        (Shape("panel", 900.0, 350.0, 40.0, drop_edge_mm=90.0, drop_wall_mm=40.0), 90.0),
    ],
)
def test_every_shape_is_as_deep_as_it_lies_in_its_mould(shape: Shape, depth: float) -> None:
    found = check(shape, MouldBoard(), FULL)
    assert found.pressed.depth_mm == depth
    assert found.walls[0].panel.height_mm == depth


TALL = Shape("block", 400.0, 300.0, height_mm=900.0)


def test_screws_that_nobody_told_hold_only_where_the_usual_ones_would() -> None:
    board = MouldBoard("melamine", 19.0, brace_spacing_mm=200.0, rim_held=True)
    found = check(TALL, board, FULL)
    wall = found.walls[0]
    assert wall.state == "holds"  # the board
    assert wall.screwed is not None
    assert min(wall.screwed.spacing_mm, wall.screwed.foot_spacing_mm) < 150
    assert found.state == "screws"
    assert told.walls(found)[0].code == "mould_wall.usual_screws"
    near = min(
        min(one.screwed.spacing_mm, one.screwed.foot_spacing_mm)
        for one in found.walls
        if one.screwed
    )
    assert check(TALL, replace(board, screw_spacing_mm=float(near)), FULL).state == "holds"


@pytest.mark.parametrize("material", ["steel", "glass", "hdpe"])
def test_a_board_that_takes_no_screw_never_holds_unasked(material: str) -> None:
    low = Shape("panel", 400.0, 300.0, 20.0)
    found = check(low, MouldBoard(material, 20.0), FULL)
    assert {one.state for one in found.walls} == {"holds"}
    assert found.state == "unknown"
    said = told.walls(found)[0]
    assert said.code == "mould_wall.corners"
    assert said.values["strap_kg"]


@pytest.mark.parametrize("screws", [None, 60.0, 150.0])
def test_a_way_that_is_named_holds_with_its_screws(screws: float | None) -> None:
    board = MouldBoard("melamine", 16.0, screw_spacing_mm=screws)
    would = check(PLANTER, board, FULL).walls[0].would
    assert would is not None
    assert would.brace_spacing_mm
    held = replace(
        board,
        brace_spacing_mm=would.brace_spacing_mm,
        screw_spacing_mm=would.screw_spacing_mm or screws,
    )
    assert state_of(check(PLANTER, held, FULL).walls[0]) == "holds"


@pytest.mark.parametrize("thick", [40.0, 60.0, 150.0])
def test_a_screw_that_nobody_told_is_long_enough_for_its_board(thick: float) -> None:
    found = check(PLANTER, MouldBoard("plywood", thick), FULL)
    assert found.built is not None
    assert found.built.screw.embedded_mm(thick) >= 3 * found.built.screw.diameter_mm
    with pytest.raises(InputError, match=r"screw_length_mm = 50"):
        check(PLANTER, MouldBoard("plywood", thick, screw_length_mm=50.0), FULL)


@pytest.mark.parametrize(
    ("shape", "part", "litres"),
    [
        (Shape("panel", 900.0, 600.0, 40.0, drop_edge_mm=140.0, drop_wall_mm=50.0), "inner", 40.0),
        (
            Shape("ribbed-panel", 900.0, 600.0, 40.0, ribs=2, rib_mm=50.0, rib_depth_mm=100.0),
            "inner",
            45.0,
        ),
        (Shape("u-shape", 1100.0, 400.0, 50.0, height_mm=450.0, wall_mm=50.0), "inner", 160.0),
        (Shape("l-shape", 1050.0, 400.0, 50.0, height_mm=450.0, wall_mm=50.0), "inner", 160.0),
        (
            Shape("round-panel", 600.0, 600.0, 40.0, drop_edge_mm=140.0, drop_wall_mm=50.0),
            "inner",
            np.pi / 4 * 25.0,
        ),
        (
            Shape(
                "by-hand",
                1000.0,
                500.0,
                height_mm=400.0,
                told_volume_l=50.0,
                told_faces_m2=1.0,
                thickest_part_mm=50.0,
                thinnest_part_mm=50.0,
            ),
            "inner",
            150.0,
        ),
    ],
)
def test_what_fills_the_hollows_of_a_form_floats(shape: Shape, part: str, litres: float) -> None:
    """Hung over concrete face-down, as it stands on the base face-up."""
    down = check(replace(shape, cast_way="face-down"), MouldBoard(), FULL)
    (hung,) = down.uplifts
    assert hung.part == part
    assert hung.volume_l == pytest.approx(litres)
    assert hung.lifts_kg == pytest.approx(2.4 * litres)
    assert say(told.uplifts(down)[0], PLAIN)
    (up,) = check(replace(shape, cast_way="face-up"), MouldBoard(), FULL).uplifts
    assert up.volume_l == pytest.approx(litres)
    assert up.part == ("inner" if shape.kind == "by-hand" else "inner_standing")


def test_the_form_of_steps_floats_where_it_hangs_over_them() -> None:
    steps = Shape("steps", 900.0, 600.0, height_mm=300.0, steps=3)
    for way, part in (("face-up", "inner"), ("face-down", "inner_standing")):
        (one,) = check(replace(steps, cast_way=way), MouldBoard(), FULL).uplifts
        assert one.part == part
        assert one.volume_l == pytest.approx(0.9 * 0.6 * 0.3 * 1e3 / 3)
    (shallow,) = check(steps, MouldBoard(), FULL, 60.0).uplifts
    assert shallow.part == "inner_standing"
    assert shallow.volume_l >= 54.0 * 60 / 600


@pytest.mark.parametrize("way", ["face-up", "face-down"])
def test_a_full_block_and_a_plain_box_have_nothing_else_that_floats(way: str) -> None:
    assert not check(replace(TALL, cast_way=way), MouldBoard(), FULL).uplifts
    box = replace(PLANTER, cast_way=way, openings=(Opening(100.0, 100.0),))
    parts = {one.part for one in check(box, MouldBoard(), FULL).uplifts}
    assert parts == {"knock_out", "core" if way == "face-up" else "core_standing"}


def test_walls_that_lean_over_the_mix_are_lifted_with_the_core() -> None:
    lean = replace(PLANTER, cast_way="face-down", taper_mm=60.0)
    found = check(lean, MouldBoard(), FULL).uplifts
    assert [one.part for one in found] == ["core_standing", "inner"]
    outside_l = 0.7 * 0.7 * 0.6 * 1e3
    assert sum(one.volume_l for one in found) == pytest.approx(outside_l - lean.volume_l)
    upright = replace(lean, cast_way="face-up")
    assert [one.part for one in check(upright, MouldBoard(), FULL).uplifts] == ["core"]


BY_HAND = Shape(
    "by-hand",
    900.0,
    400.0,
    told_volume_l=15.0,
    told_faces_m2=1.0,
    thickest_part_mm=50.0,
    thinnest_part_mm=50.0,
)


def test_what_is_told_by_hand_without_a_height_is_not_taken_as_deep_as_it_is_thick() -> None:
    with pytest.raises(InputError, match="height_mm"):
        check(BY_HAND, MouldBoard(), FULL)
    board = MouldBoard("film-faced plywood", 38.0, 100.0, rim_held=True, screw_spacing_mm=20.0)
    hollow = replace(BY_HAND, height_mm=200.0, told_volume_l=60.0)
    assert check(hollow, board, FULL).state == "unknown"  # walls inside it
    full = replace(BY_HAND, height_mm=200.0, told_volume_l=72.0)
    assert check(full, board, FULL).state == "holds"


def test_a_mix_presses_with_its_own_density_and_never_with_less_than_the_usual() -> None:
    assert pressing_kg_m3(2650.0) == 2650.0
    assert pressing_kg_m3(1800.0) == pressing_kg_m3(0.0) == FULL.density_kg_m3
