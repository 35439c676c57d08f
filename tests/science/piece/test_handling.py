"""Shapes, masses and ways of turning."""

import pytest

from models.errors import InputError
from models.facts.handling import ADHESION_KN_M2, TURN_FLOOR_MPA
from models.facts.materials import BOARDS
from models.piece import handling, turning
from models.piece.shape import Opening, Shape

TOP = Shape("panel", 1800.0, 900.0, 50.0)


def by_key(shape: Shape, density: float = 2400.0) -> dict[str, turning.Way]:
    return {support.key: support for support in turning.turning_ways(shape, density)}


def test_no_way_asks_less_than_common_practice() -> None:
    assert all(w.need_MPa >= TURN_FLOOR_MPA for w in turning.turning_ways(TOP, 2400.0))


def test_bare_hands_tilt_a_top_on_its_long_edge() -> None:
    for shape in (TOP, Shape("panel", 2400.0, 600.0, 35.0), Shape("panel", 1000.0, 1000.0, 40.0)):
        ways = turning.turning_ways(shape, 2400.0)
        assert turning.proposed(ways).key == "long_edge"
        assert turning.proposed(ways, turning.GEAR).need_MPa == min(w.need_MPa for w in ways)
        assert ways[-1].need_MPa == max(w.need_MPa for w in ways)


def test_ends_ask_six_times_the_stress_of_fifth_points() -> None:
    ways = by_key(TOP)
    ratio = ways["ends"].stress_MPa / (ways["fifth_points"].stress_MPa)
    assert ratio == pytest.approx(0.125 / 0.02145, rel=1e-6)


def test_half_the_thickness_doubles_the_stress_and_quadruples_the_strength() -> None:
    thick, thin = (by_key(Shape("panel", 2400.0, 900.0, t)) for t in (60.0, 30.0))
    support = "ends"
    assert thin[support].stress_MPa == pytest.approx(2 * thick[support].stress_MPa)
    assert thin[support].need_MPa == pytest.approx(4 * thick[support].need_MPa, rel=1e-6)


def test_the_jerk_is_in_the_stress() -> None:
    still = handling.bending_stress_MPa(1800.0, 50.0, 2400.0)
    assert by_key(TOP)["ends"].stress_MPa == pytest.approx(1.5 * still)


def test_an_opening_never_makes_a_way_gentler() -> None:
    for hole in (Opening(600.0, 300.0), Opening(300.0, 600.0), Opening(1700.0, 100.0)):
        holed = by_key(Shape("panel", 1800.0, 900.0, 50.0, openings=(hole,)))
        for key, support in by_key(TOP).items():
            assert holed[key].stress_MPa >= support.stress_MPa


def test_the_corner_of_an_opening_is_asked_more_than_its_net_width() -> None:
    holed = by_key(Shape("panel", 1800.0, 900.0, 50.0, openings=(Opening(400.0, 300.0),)))
    net = by_key(TOP)["ends"].stress_MPa * 900.0 / (900.0 - 300.0)
    assert holed["ends"].stress_MPa == pytest.approx(5.6 / 3.2 * net, rel=1e-6)  # nu 0.2


def test_a_block_is_bent_as_a_thick_panel() -> None:
    """By hand: 0.75 x 2400 x 9.807 x 0.9^2 / 0.15 = 95 kPa by its ends, times 1.5."""
    block = by_key(Shape("block", 900.0, 350.0, height_mm=150.0))
    assert block["ends"].stress_MPa == pytest.approx(1.5 * 0.0953, rel=0.005)
    assert block["ends"] == by_key(Shape("panel", 900.0, 350.0, 150.0))["ends"]


def test_a_box_on_its_side_is_bent_in_its_lying_wall() -> None:
    """By hand, 1000 x 500 x 450 of 40 mm: the wall hangs 410 deep or 920 wide; between clamped ends
    w 0.92^2 / 12 is less than w 0.41^2 / 2: 6 x 2400 x 9.807 x 0.0705 / 0.04 = 249 kPa."""
    box = Shape("box", 1000.0, 500.0, height_mm=450.0, wall_mm=40.0)
    way = turning.proposed(turning.turning_ways(box, 2400.0))
    assert way.key == "padded_edges"
    assert way.stress_MPa == pytest.approx(1.5 * 0.249, rel=0.005)
    shallow = Shape("box", 1000.0, 500.0, height_mm=240.0, wall_mm=40.0)
    low = turning.proposed(turning.turning_ways(shallow, 2400.0))
    assert low.stress_MPa == pytest.approx(
        1.5 * 6 * 2400 * 9.807 * 0.2**2 / 2 / 0.04 / 1e6, rel=0.005
    )


def test_the_face_of_the_mould_pulls_at_what_is_thin() -> None:
    """20 mm weighs 0.47 kN/m2: oiled steel pulls with 1, rough wood with 3 (from memory)."""
    thin = Shape("panel", 1200.0, 600.0, 20.0)
    free, steel, wood = (
        turning.turning_ways(thin, 2400.0, kN_m2)[-1].stress_MPa for kN_m2 in (0.0, 1.0, 3.0)
    )
    assert steel / free == pytest.approx((0.471 + 1) / 0.471 / 1.5, rel=0.01)
    assert wood / free == pytest.approx((0.471 + 3) / 0.471 / 1.5, rel=0.01)
    thick = Shape("panel", 1200.0, 600.0, 300.0)
    assert turning.turning_ways(thick, 2400.0, 3.0) == turning.turning_ways(thick, 2400.0)


def test_a_usual_top_with_an_opening_can_be_turned_from_any_mould() -> None:
    """By bare hands as the mix is strong enough for wear, once freed over a rail much earlier."""
    holed = Shape("panel", 1400.0, 800.0, 45.0, openings=(Opening(300.0, 300.0),))
    for pull in ADHESION_KN_M2.values():
        found = turning.turning_ways(holed, 2350.0, pull)
        assert turning.proposed(found).need_MPa <= 30.0
        assert turning.proposed(found, ("rail",)).need_MPa <= 15.0


def test_every_mould_has_a_face_that_pulls() -> None:
    assert ADHESION_KN_M2.keys() == BOARDS.keys()


def test_turning_lengthwise_or_crosswise_drawn_is_the_same_piece() -> None:
    turned = Shape("panel", 900.0, 1800.0, 50.0)
    assert by_key(turned) == by_key(TOP)


def test_an_opening_drawn_on_a_turned_piece_counts_the_same() -> None:
    drawn = Shape("panel", 1800.0, 900.0, 50.0, openings=(Opening(600.0, 300.0),))
    turned = Shape("panel", 900.0, 1800.0, 50.0, openings=(Opening(300.0, 600.0),))
    assert by_key(turned) == by_key(drawn)


@pytest.mark.parametrize(("kg", "people"), [(20.0, 1), (33.0, 2), (37.0, 3), (44.2, 4), (99.0, 5)])
def test_hands_for_a_lift(kg: float, people: int) -> None:
    assert handling.people_for(kg) == people


def test_volume_of_a_box_is_walls_and_floor() -> None:
    box = Shape("box", 600.0, 400.0, height_mm=300.0, wall_mm=40.0)
    by_hand = (600 * 400 * 300 - 520 * 320 * 260) / 1e6
    assert box.volume_l == pytest.approx(by_hand)
    assert box.section_mm == 40.0


def test_volume_of_a_panel_is_without_its_openings() -> None:
    panel = Shape("panel", 1640.0, 620.0, 22.0, openings=(Opening(310.0, 115.0),))
    assert panel.volume_l == pytest.approx(21.6, abs=0.05)
    assert panel.volume_l * 2.05 == pytest.approx(44.2, abs=0.1)


def test_a_box_whose_walls_meet_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        Shape("box", 600.0, 400.0, height_mm=300.0, wall_mm=200.0)
    assert refused.value.field == "wall_mm"
