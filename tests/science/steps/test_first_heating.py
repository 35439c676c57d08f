"""First heating waits for the later and the drier of what is asked, by section; rain closes it;
each fire follows the one before, and none burns at a burner that no fitter has tried."""

import numpy as np
import pytest

from models.facts.after import FIRE_STAGES
from models.piece.shape import Shape
from models.simulation import physics
from models.steps import dry
from models.steps.opening import Span
from tests.support.fires import AT_D, fire


def heated(
    thickness_mm: float, rain_from_d: int | None = None, now_d: float = AT_D
) -> tuple[Span, physics.Simulation]:
    """When it may first be heated, in dry warm air; with four days of rain if told."""
    _, when, simulation = fire("first-heating", thickness_mm, rain_from_d, now_d)
    return when, simulation


def test_a_thick_piece_waits_longer_and_is_drier_when_it_opens() -> None:
    found = {thickness: heated(thickness) for thickness in (20.0, 50.0, 85.0)}
    likely = [when.p50 for when, _ in found.values()]
    assert likely == sorted(likely)
    assert likely[1] > likely[0] + 7 * 24
    assert likely[2] > likely[1]
    for when, simulation in found.values():
        assert simulation.drying is not None
        assert when.p50 >= 28 * 24
        if np.isfinite(when.p90):
            at = simulation.trajectory.at(simulation.drying.dried.by_mass_pct, when.p90)
            assert simulation.trajectory.weight[at <= 4.05].sum() >= 0.9 - 1e-9


def test_rain_closes_it_and_it_opens_again_days_later() -> None:
    before, _ = heated(20.0, rain_from_d=66)
    assert before.p90 <= AT_D * 24
    assert before.latest == pytest.approx(66 * 24, abs=2)
    in_rain, _ = heated(20.0, rain_from_d=66, now_d=68.0)
    assert in_rain.p90 >= 70 * 24 + 3 * 24


@pytest.mark.parametrize(("section_mm", "days"), [(20.0, 3), (50.0, 7), (85.0, 21), (200.0, 28)])
def test_the_days_of_a_constant_mass_go_by_the_section(section_mm: float, days: int) -> None:
    assert dry.constant_days(section_mm) == days


def test_a_later_fire_follows_a_day_after_the_one_before() -> None:
    opening, when, _ = fire("fire-2", burned_d=(59.5,))
    assert when.safe == pytest.approx(60.5 * 24, abs=1.0)
    assert opening.after == "first-heating"
    (stage,) = [one for one in opening.note if one.code == "fire_stage"]
    assert (stage.values["number"], stage.values["burn_min"]) == (2.0, 30.0)
    assert not [one for one in opening.note if one.code == "fire_back"]


def test_after_rain_it_dries_again_and_the_fire_before_is_repeated() -> None:
    opening, when, _ = fire("fire-3", rain_from_d=61, now_d=65.5, burned_d=(59.0, 60.0))
    assert when.p90 >= (65 + 3 + 1) * 24
    again, stage, *_ = [one for one in opening.note if one.code.startswith("fire_")]
    assert again.code == "fire_back"
    assert stage.values["number"] == again.values["number"] == 2.0


def test_each_fire_is_longer_and_hotter_than_the_one_before() -> None:
    assert list(FIRE_STAGES) == sorted(FIRE_STAGES)
    assert FIRE_STAGES[-1][1] <= 250.0, "Portland is no castable"


@pytest.mark.parametrize(("step", "burned"), [("first-heating", ()), ("fire-2", (58.0,))])
def test_no_fire_opens_at_a_burner_that_no_fitter_has_tried(
    step: str, burned: tuple[float, ...]
) -> None:
    opening, when, _ = fire(step, burned_d=burned, burner=True)
    assert not np.isfinite(when.safe)
    assert not np.isfinite(when.p50)
    assert opening.chance is not None
    assert not opening.chance.any()
    assert "fire_no_yes" in [one.code for one in opening.note]
    fitted, when, _ = fire(step, burned_d=burned, burner=True, fitted=True)
    assert np.isfinite(when.safe)
    assert fitted.cautions[0].code == "burner_asks"


def test_a_later_fire_asks_for_the_age_and_the_dryness_of_the_first() -> None:
    """Somebody lit a fire on the fifth day, on moisture that may spall: the next waits all the
    same, and a week in the wrong is no leave for the second."""
    opening, when, simulation = fire("fire-2", now_d=6.0, burned_d=(5.0,))
    first, _, _ = fire("first-heating", now_d=6.0)
    assert simulation.drying is not None
    moist = simulation.trajectory.at(simulation.drying.dried.by_mass_pct, 6.0 * 24)
    assert np.median(moist) > 3.0
    assert opening.chance is not None
    assert not opening.chance[: 28 * 24].any()
    assert when.p50 >= 28 * 24
    assert (opening.opens_h >= first.opens_h - 1e-6).all()


def test_a_later_fire_waits_for_its_thickest_part() -> None:
    """The edge below a slab of 20 mm is three times as thick: its mass stands still later."""
    edged = Shape("panel", 1100.0, 900.0, 20.0, drop_edge_mm=120.0, drop_wall_mm=60.0)
    opening, _, simulation = fire("fire-2", burned_d=(58.0,), shape=edged)
    assert simulation.drying is not None
    moist = simulation.drying.dried.by_mass_pct
    still = dry.mass_stands_still(simulation.drying, 60.0)
    lit = np.flatnonzero(np.isfinite(opening.opens_h))
    assert len(lit)
    for member in lit:
        row = int(np.searchsorted(simulation.trajectory.hour, opening.opens_h[member]))
        by_then = slice(28 * 24, row + 1)
        assert (still | (moist <= 3.0))[by_then, member].any()
