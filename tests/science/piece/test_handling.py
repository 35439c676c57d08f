"""Shapes, masses and ways of turning."""

import pytest

from models.errors import InputError
from models.facts.handling import TURN_FLOOR_MPA
from models.piece import handling
from models.piece.shape import Opening, Shape

TOP = Shape("panel", 1800.0, 900.0, 50.0)


def by_key(shape: Shape, density: float = 2400.0) -> dict[str, handling.Support]:
    return {support.key: support for support in handling.turning_supports(shape, density)}


def test_ways_come_gentlest_first() -> None:
    ways = handling.turning_supports(TOP, 2400.0)
    assert [w.stress_MPa for w in ways] == sorted(w.stress_MPa for w in ways) or (
        ways[0].stress_MPa < ways[-1].stress_MPa
    )
    assert all(w.need_MPa >= TURN_FLOOR_MPA for w in ways)


def test_the_first_way_asks_least() -> None:
    for shape in (TOP, Shape("panel", 2400.0, 600.0, 35.0), Shape("panel", 1000.0, 1000.0, 40.0)):
        ways = handling.turning_supports(shape, 2400.0)
        assert ways[0].need_MPa == min(w.need_MPa for w in ways)
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
