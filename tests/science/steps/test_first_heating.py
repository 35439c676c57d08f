"""First heating waits for the later and the drier of what is asked, by section; rain closes it;
each fire follows the one before, and none burns at a burner that no fitter has tried."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.facts.after import FIRE_STAGES
from models.piece.shape import Shape
from models.planning import default_plan, timeline
from models.simulation import physics
from models.simulation.scenario import Done, Placement, Scenario
from models.steps import dry, heat
from models.steps.opening import Span, StepOpening

POURED_AT = datetime(2026, 5, 4, 15, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAYS, AT_D = 88, 60


def heated(
    thickness_mm: float, rain_from_d: int | None = None, now_d: float = AT_D
) -> tuple[Span, physics.Simulation]:
    """When it may first be heated, in dry warm air; with four days of rain if told."""
    _, when, simulation = fire("first-heating", thickness_mm, rain_from_d, now_d)
    return when, simulation


def fire(
    step: str,
    thickness_mm: float = 20.0,
    rain_from_d: int | None = None,
    now_d: float = AT_D,
    burned_d: tuple[float, ...] = (),
    *,
    burner: bool = False,
    fitted: bool = False,
) -> tuple[StepOpening, Span, physics.Simulation]:
    """When a fire may burn, after those that burned on some days."""
    t = np.arange(72 + (DAYS + 2) * 24)
    air = 20.0 + 2.0 * np.sin(2 * np.pi * (t - 9) / 24)
    same, rain = np.ones_like(air), np.zeros_like(air)
    if rain_from_d is not None:
        rain[72 + 24 * rain_from_d : 72 + 24 * (rain_from_d + 4)] = 0.5
    sky = AirSeries(
        POURED_AT - 72 * HOUR,
        air,
        3.0 * same,
        same,
        rain,
        0.4 * same,
        np.nan * same,
        POURED_AT + 24 * now_d * HOUR,
        "a made-up record",
    )
    done = tuple(
        Done(step, POURED_AT + hour * HOUR)
        for step, hour in (("strip", 8.0), ("turn", 12.0), ("end-wet-cure", 48.0))
    )
    burned = ((heat.FIRST, *heat.LATER)[k] for k in range(len(burned_d)))
    done += tuple(
        Done(key, POURED_AT + day * 24 * HOUR) for key, day in zip(burned, burned_d, strict=True)
    )
    place = Site("covered" if rain_from_d is None else "open yard", 41.5, -74.0)
    piece = Scenario(
        "a hearth",
        place,
        Mixture("rapid-setting"),
        Shape("panel", 1100.0, 900.0, thickness_mm),
        Placement(POURED_AT, 18.0, burner_fitted=fitted),
        done=done,
        burner=burner,
    )
    simulation = default_plan.simulated(piece, sky, POURED_AT + 24 * now_d * HOUR, DAYS * 24, 24)
    assert isinstance(simulation, physics.Simulation)
    told = timeline.planned(piece, simulation, 24 * now_d)[0]
    return *next(row for row in told if row[0].step == step), simulation


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
