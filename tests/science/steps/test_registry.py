"""One list of steps: what is asked of it anywhere fits together."""

import pytest

from models.coating.film import SealerSystem
from models.facts.handling import STEP_STRENGTH
from models.piece.shape import Opening, Shape
from models.piece.turning import peeled_stress_MPa
from models.steps import registry
from models.steps.case import Setup
from service.words.say import templates

PANEL = Shape("panel", 1400.0, 700.0, 45.0, openings=(Opening(400.0, 300.0),))
BOX = Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0)


def setup(shape: Shape, coats: int = 2, *, covered: bool = False, frost: bool = True) -> Setup:
    sheet = SealerSystem(coats=coats).resolved()
    return Setup(shape, covered, frost, sheet, {})


def keys(of: Setup) -> list[str]:
    return [key for key, _ in registry.of_pour(of)]


def test_a_pour_has_the_steps_of_its_piece_in_the_order_of_the_trade() -> None:
    assert keys(setup(PANEL)) == [
        *("finish", "cover", "knock-out", "strip", "turn", "end-wet-cure", "sand", "hone"),
        *("coat-1", "coat-2", "rain-safe", "light-use", "full-use", "first-heating"),
        *("de-icing", "reseal"),
    ]
    assert "core" in keys(setup(BOX))
    assert "uncover" in keys(setup(BOX, covered=True))
    assert "de-icing" not in keys(setup(BOX, frost=False))
    assert keys(setup(BOX, 6)).count("coat-6") == 1


def legged(kind: str) -> Shape:
    return Shape(kind, 1200.0, 400.0, 50.0, height_mm=450.0, wall_mm=50.0)


def edged(sides: str | None) -> Shape:
    return Shape(
        "panel", 900.0, 600.0, 25.0, drop_edge_mm=90.0, drop_wall_mm=30.0, drop_sides=sides
    )


BOWL = {"bowl_length_mm": 400.0, "bowl_width_mm": 300.0, "bowl_depth_mm": 120.0}
SINK = Shape("slab-with-basin", 1200.0, 550.0, 40.0, wall_mm=25.0, floor_mm=25.0, **BOWL)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("shape", "has"),
    [
        (BOX, True),
        (SINK, True),
        (legged("u-shape"), True),
        (legged("l-shape"), False),
        (edged(None), True),
        (edged("all"), True),
        (edged("ends"), True),
        (edged("front"), False),
        (PANEL, False),
    ],
)
def test_what_shrinks_on_a_part_of_its_mould_has_a_core_that_is_peeled(
    shape: Shape, has: bool
) -> None:
    assert ("core" in keys(setup(shape))) is has
    assert (peeled_stress_MPa(shape, 2.0) > 0.0) is has


def test_a_free_leg_bends_over_its_foot_alone() -> None:
    """By hand: 0.2 N a millimetre of rim on 350 mm of a leg of 50: 6 x 0.2 x 350 / 50^2."""
    leg = legged("u-shape")
    assert peeled_stress_MPa(leg, 2.0) == pytest.approx(6 * 0.2 * (400 - 50) / 50**2)


@pytest.mark.parametrize("key", registry.KEYS)
def test_what_comes_first_stands_above_and_every_step_has_its_words(key: str) -> None:
    assert all(registry.place(first) < registry.place(key) for first in registry.before(key))
    assert f"doing.{key}" in templates("en-GB")


def test_a_later_step_proves_those_of_the_mould_and_no_use_proves_anything() -> None:
    assert registry.overtaken("strip", {"coat-2"})
    assert registry.overtaken("coat-1", {"coat-2"})
    assert not registry.overtaken("sand", {"hone"})
    assert registry.later("sand", {"hone", "reseal", "uncover"}) == ["hone"]
    assert registry.first_done_h("strip", {"turn": 30.0, "sand": 40.0}) == 30.0
    assert registry.before("coat-3") == {"strip", "coat-1", "coat-2"}


@pytest.mark.parametrize("key", ["coat", "coat-", "coat-0", "coat-x", "polish", ""])
def test_what_is_no_step_has_no_entry(key: str) -> None:
    assert registry.step_of(key) is None


def test_numbers_of_strength_belong_to_steps() -> None:
    assert set(STEP_STRENGTH) <= set(registry.KEYS)
