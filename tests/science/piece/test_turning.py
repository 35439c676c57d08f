"""Every way of turning and lifting: what each asks, who can do it, and what is proposed."""

from typing import Any

import pytest

from models.facts.handling import (
    DYNAMIC_FACTOR,
    FIFTH_MOMENT,
    OPENING_CORNER,
    RIM_CORNER,
    TURN_FLOOR_MPA,
)
from models.piece import flat, handling, turning
from models.piece.shape import Opening, Shape

TOP = Shape("panel", 1800.0, 900.0, 50.0)
THIN = Shape("panel", 2000.0, 1000.0, 20.0)
HOLED = Shape("panel", 1800.0, 900.0, 50.0, openings=(Opening(1700.0, 100.0),))
BOX = Shape("box", 1000.0, 500.0, height_mm=450.0, wall_mm=40.0)
STEP = Shape("block", 900.0, 350.0, height_mm=150.0)


def ways(shape: Shape, pull_kN_m2: float = 0.0) -> dict[str, turning.Way]:
    return {one.key: one for one in turning.turning_ways(shape, 2400.0, pull_kN_m2)}


def test_every_way_of_a_shop_is_there() -> None:
    assert set(ways(TOP)) == set(turning.WAYS) - {"padded_edges"}
    assert set(ways(STEP)) == set(ways(TOP))
    assert set(ways(BOX)) == {"padded_edges", "boards", "straps", "ends"}


def test_an_edge_is_held_over_the_whole_span_and_fifths_over_a_sixth_of_it() -> None:
    still = 6 * 2400 * 9.80665 * 1.8**2 / 0.05 / 1e6
    found = ways(TOP)
    assert found["short_edge"].stress_MPa == pytest.approx(DYNAMIC_FACTOR * still / 8)
    assert found["straps"].stress_MPa == pytest.approx(DYNAMIC_FACTOR * FIFTH_MOMENT * still)
    assert found["long_edge"].stress_MPa == pytest.approx(DYNAMIC_FACTOR * still / 8 / 4)


def test_a_rail_asks_as_much_as_its_edge_but_no_pull_of_the_mould() -> None:
    """Two cantilevers of half the short side: w (s / 2)^2 / 2 is w s^2 / 8."""
    assert ways(THIN)["rail"].stress_MPa == pytest.approx(ways(THIN)["long_edge"].stress_MPa)
    pulled = ways(THIN, 3.0)
    assert pulled["long_edge"].stress_MPa > 4 * pulled["rail"].stress_MPa / DYNAMIC_FACTOR
    assert pulled["rail"] == ways(THIN)["rail"]


def test_an_opening_is_torn_at_its_corner_by_the_pull_of_the_mould_too() -> None:
    """By hand, 1400 x 800 x 30 with a hole of 300: 706 N/m2 and 3000 of rough wood are 5.25 times
    its weight, on 1 - 300 / 1400 of its length and 1.75 times at the corner."""
    plate = Shape("panel", 1400.0, 800.0, 30.0)
    holed = Shape("panel", 1400.0, 800.0, 30.0, openings=(Opening(300.0, 300.0),))
    still = 0.75 * 2400 * 9.80665 * 0.8**2 / 0.03 / 1e6
    torn = ways(holed, 3.0)["long_edge"].stress_MPa
    assert torn == pytest.approx(OPENING_CORNER * 5.25 * still * 1400 / 1100, rel=0.002)
    assert torn > OPENING_CORNER * ways(plate, 3.0)["long_edge"].stress_MPa


def test_boards_help_what_is_thin_and_never_make_it_worse() -> None:
    shares = [turning.between_boards(t, 2400.0) for t in (15.0, 20.0, 30.0, 50.0, 100.0, 300.0)]
    assert shares == sorted(shares)
    assert shares[0] < 0.5
    assert shares[-1] <= 1.0
    for shape in (TOP, THIN, STEP, BOX):
        found = ways(shape)
        edge = found.get("long_edge") or found["padded_edges"]
        assert found["boards"].stress_MPa <= edge.stress_MPa


def test_the_share_of_boards_by_hand() -> None:
    """20 mm: 33000 x 8000 = 0.264e9 N mm2 a mm, timbers 8000 x 45 x 95^3 / 400 = 0.772e9; the
    boards' 30 kg/m2 beside 48: 0.255 x 1.625."""
    assert turning.between_boards(20.0, 2400.0) == pytest.approx(0.2548 * 1.625, rel=1e-3)


def test_a_way_is_proposed_that_the_shop_can_do_and_that_asks_least() -> None:
    found = turning.turning_ways(THIN, 2400.0, 3.0)
    assert turning.proposed(found).key == "long_edge"
    assert turning.proposed(found, ("rail",)).key == "rail"
    assert turning.proposed(found, ("rail", "boards")).key == "boards"
    assert turning.proposed(found, ("straps", "hoist")).key == "long_edge"  # straps only carry


def test_a_slit_along_the_length_is_tilted_on_the_short_edge() -> None:
    """Across it 5 % of the width is left, along it 8 of 9."""
    found = ways(HOLED)
    assert found["short_edge"].need_MPa < found["long_edge"].need_MPa
    assert turning.proposed(tuple(found.values())).key == "short_edge"


def test_no_way_asks_less_than_the_floor_or_less_with_an_opening() -> None:
    for shape in (TOP, THIN, HOLED, BOX, STEP):
        assert all(one.need_MPa >= TURN_FLOOR_MPA for one in ways(shape).values())
    assert all(ways(HOLED)[key].stress_MPa > one.stress_MPa for key, one in ways(TOP).items())


def test_a_rounder_corner_asks_less_and_none_more_than_untold() -> None:
    untold = flat.corner_factor(150.0)
    told = [flat.corner_factor(150.0, radius) for radius in (0.0, 20.0, 60.0, 150.0)]
    assert told == sorted(told, reverse=True)
    assert max(told) == untold
    assert told[-1] < untold


@pytest.mark.parametrize(
    ("way", "kg", "people"),
    [
        ("long_edge", 40.0, 2),  # 20 kg, but half a metre before the body
        ("long_edge", 60.0, 2),
        ("long_edge", 70.0, 3),
        ("long_edge", 99.0, 4),
        ("long_edge", 194.0, None),
        ("ends", 40.0, 4),
        ("ends", 51.0, None),
        ("straps", 10.0, None),
    ],
)
def test_people_bear_half_of_what_is_tilted(way: str, kg: float, people: int | None) -> None:
    assert turning.people(ways(TOP)[way], kg, 600.0) == people


def test_who_turns_it_between_boards_lifts_half_of_them_too() -> None:
    """1800 x 900 takes boards of 49 kg: two bear 30 of 60 kg, with boards it is 54: a hoist."""
    assert turning.people(ways(TOP)["long_edge"], 60.0, 600.0) == 2
    assert turning.people(ways(TOP)["boards"], 60.0, 600.0) is None
    assert turning.people(ways(TOP)["boards"], 40.0, 600.0) == 4
    assert turning.people(ways(BOX)["boards"], 40.0, 600.0) == 2  # 13.5 kg beside a wall


def test_one_alone_lifts_what_is_small_and_near() -> None:
    assert turning.people(ways(TOP)["ends"], 20.0, 100.0) == 1
    assert turning.people(ways(TOP)["ends"], 20.0, 300.0) == 2
    assert turning.people(ways(TOP)["ends"], 2.0, 900.0) == 2  # past arm's length nobody


def test_past_arms_length_nothing_is_recommended() -> None:
    assert handling.recommended_kg(64.0) == 0.0
    assert handling.recommended_kg(10.0) == handling.recommended_kg(25.0) == 23.0


def test_whole_shapes_are_turned_by_their_weakest_part_under_all_their_weight() -> None:
    """An L of 1200 x 400 x 60 with a leg of 390: its seat bears (1200 + 390) / 1200 of itself."""
    seat = Shape("panel", 1200.0, 400.0, 60.0)
    bent = Shape("l-shape", 1200.0, 400.0, 60.0, height_mm=450.0, wall_mm=60.0)
    ratio = ways(bent)["ends"].stress_MPa / ways(seat)["ends"].stress_MPa
    assert ratio == pytest.approx(1590 / 1200, rel=1e-6)
    ribbed = Shape("ribbed-panel", 1200.0, 400.0, 30.0, ribs=2, rib_mm=40.0, rib_depth_mm=60.0)
    plain = Shape("panel", 1200.0, 400.0, 30.0)
    assert ways(ribbed)["ends"].stress_MPa > ways(plain)["ends"].stress_MPa


def test_a_leg_that_outgrows_a_thin_seat_does_not_hide_it() -> None:
    """By hand, 900 x 800 with a seat of 25 on legs of 80, 900 high: the seat bears 22.5 l of its
    own 18 and 112 of the legs, 7.22 times itself: 1.5 x 7.22 x 0.75 x 2400 x g x 0.8^2 / 0.025."""

    def table(high: float) -> dict[str, turning.Way]:
        return ways(Shape("u-shape", 900.0, 800.0, 25.0, height_mm=high, wall_mm=80.0))

    assert table(900.0)["long_edge"].stress_MPa == pytest.approx(4.9, rel=0.01)
    for key, low in table(899.0).items():
        high = table(901.0)[key]
        assert high.stress_MPa == pytest.approx(low.stress_MPa, rel=0.005)
        assert high.stress_MPa >= low.stress_MPa


def test_a_thin_floor_of_a_bowl_bends_though_its_slab_is_thick() -> None:
    """By hand: 1000 x 400 of 10 mm, 1.5 x 0.75 x 2400 x g x 0.4^2 / 0.01 = 0.424 MPa; the slab of
    150 mm is bent by less across."""
    bowl: dict[str, Any] = {
        "bowl_length_mm": 1000.0,
        "bowl_width_mm": 400.0,
        "bowl_depth_mm": 200.0,
    }
    sink = Shape("slab-with-basin", 1400.0, 500.0, 150.0, wall_mm=40.0, floor_mm=10.0, **bowl)
    assert ways(sink)["long_edge"].stress_MPa == pytest.approx(0.424, rel=0.01)


def test_the_mouth_of_a_bowl_takes_the_width_of_its_slab_as_an_opening_does() -> None:
    """1200 x 550 x 50 with a mouth of 400 x 300 in the middle: on its long edge 800 of 1200 are
    left, on its ends 250 of 550, and its corner tears at 2 times that, near the front edge."""
    bowl: dict[str, Any] = {"bowl_length_mm": 400.0, "bowl_width_mm": 300.0, "bowl_depth_mm": 150.0}
    sink = Shape("slab-with-basin", 1200.0, 550.0, 50.0, wall_mm=30.0, floor_mm=40.0, **bowl)
    (one,) = flat.flats_of(sink)
    assert one.net_across == pytest.approx(800 / 1200)
    assert one.net_along == pytest.approx(250 / 550)
    assert one.corner == RIM_CORNER  # 125 mm before it are less than half of 300
    plate = ways(Shape("panel", 1200.0, 550.0, 50.0))
    assert ways(sink)["ends"].stress_MPa > RIM_CORNER * 550 / 250 * plate["ends"].stress_MPa


def test_drop_edges_hog_what_hangs_at_its_fifth_points() -> None:
    """By hand, 1800 x 900 x 40 with 600 x 60 at both ends: 791 N/m hang 0.343 m out, and 942 N/m2
    over 0.373 m: 271 + 66 = 337 N m/m, 1.26 MPa still, 1.9 with the jerk."""
    desk = Shape(
        "panel", 1800.0, 900.0, 40.0, drop_edge_mm=600.0, drop_wall_mm=60.0, drop_sides="ends"
    )
    hung = ways(desk)["straps"]
    assert 1.9 < hung.stress_MPa < 1.1 * 1.9
    assert hung.need_MPa > 21.0


def test_a_rib_in_the_middle_bends_twice_as_much_as_one_that_is_spread() -> None:
    """By hand, 1200 x 800 x 40 with a rib of 80 x 80 along it: 184 N/m in the middle of 0.8 m over
    942 N/m2 spread: 1 + 2 x 0.2 times the plate."""
    plate = Shape("panel", 1200.0, 800.0, 40.0)
    ribbed = Shape("ribbed-panel", 1200.0, 800.0, 40.0, ribs=1, rib_mm=80.0, rib_depth_mm=80.0)
    for key in ("long_edge", "rail", "ends"):
        assert ways(ribbed)[key].stress_MPa == pytest.approx(1.4 * ways(plate)[key].stress_MPa)


def test_only_what_has_flat_faces_is_laid_on_a_rail_on_bars_or_between_boards() -> None:
    bent: dict[str, Any] = {"height_mm": 450.0, "wall_mm": 60.0}
    bowl: dict[str, Any] = {"bowl_length_mm": 500.0, "bowl_width_mm": 300.0, "bowl_depth_mm": 150.0}
    uneven = (
        Shape("l-shape", 1200.0, 400.0, 60.0, **bent),
        Shape("u-shape", 1200.0, 400.0, 60.0, **bent),
        Shape("slab-with-basin", 1200.0, 500.0, 50.0, wall_mm=30.0, floor_mm=40.0, **bowl),
        Shape("panel", 1200.0, 400.0, 30.0, drop_edge_mm=80.0, drop_wall_mm=40.0),
        Shape("round-panel", 800.0, 800.0, 30.0, drop_edge_mm=80.0, drop_wall_mm=40.0),
        Shape("steps", 900.0, 800.0, height_mm=450.0, steps=3),
    )
    for shape in uneven:
        assert set(ways(shape)) == {"long_edge", "short_edge", "straps", "ends"}
    ribbed = Shape("ribbed-panel", 1200.0, 400.0, 30.0, ribs=2, rib_mm=40.0, rib_depth_mm=60.0)
    assert set(ways(ribbed)) == set(ways(TOP)) - {"boards"}


def test_a_told_radius_asks_less_well_inside_and_nothing_less_near_an_edge() -> None:
    def holed(**more: float) -> turning.Way:
        hole = Opening(150.0, 150.0, **more)  # type: ignore[arg-type]
        return ways(Shape("panel", 1800.0, 900.0, 50.0, openings=(hole,)))["ends"]

    assert holed(corner_mm=60.0).stress_MPa < holed().stress_MPa
    assert holed(corner_mm=5.0).stress_MPa == pytest.approx(holed().stress_MPa, rel=1e-3)
    near = {"front_mm": 90.0, "left_mm": 800.0}
    assert holed(corner_mm=60.0, **near).stress_MPa == pytest.approx(
        holed(**near).stress_MPa, rel=0.01
    )
    assert holed(corner_mm=60.0, **near).stress_MPa > 1.05 * holed(corner_mm=60.0).stress_MPa


def test_a_box_without_floor_is_held_by_its_neighbours_alone() -> None:
    floorless = Shape("box", 1000.0, 500.0, height_mm=450.0, wall_mm=40.0, floor_mm=0.0)
    assert ways(floorless)["padded_edges"].stress_MPa >= ways(BOX)["padded_edges"].stress_MPa
    holed = Shape(
        "box",
        1000.0,
        500.0,
        height_mm=450.0,
        wall_mm=40.0,
        openings=(Opening(200.0, 100.0, wall="front"),),
    )
    assert ways(holed)["padded_edges"].stress_MPa > ways(BOX)["padded_edges"].stress_MPa


def test_a_round_opening_asks_less_than_a_square_one_unless_it_lies_near_an_edge() -> None:
    def holed(size: float, **more: object) -> turning.Way:
        hole = Opening(size, size, **more)  # type: ignore[arg-type]
        return ways(Shape("panel", 1800.0, 900.0, 50.0, openings=(hole,)))["ends"]

    assert holed(60.0, form="round").stress_MPa < holed(60.0).stress_MPa
    near = holed(60.0, form="round", front_mm=45.0, left_mm=870.0)
    assert near.stress_MPa == pytest.approx(holed(60.0).stress_MPa)
    rim = holed(60.0, form="round", front_mm=25.0, left_mm=870.0)
    assert rim.stress_MPa == pytest.approx(RIM_CORNER / OPENING_CORNER * near.stress_MPa)
