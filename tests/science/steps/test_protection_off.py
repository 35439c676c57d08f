"""Protection comes off with a look at the coming night, after its days, the heat turned down."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.piece.shape import Shape
from models.planning import timeline
from models.results import StepWindow
from models.simulation import cases, drying, physics
from models.simulation.scenario import Placement, Scenario, ShopRules
from models.steps import protect, use
from models.steps.case import Film
from models.units import Array

POURED_AT = datetime(2026, 1, 12, 15, tzinfo=UTC)
STRONG = Mixture("high-early", (LabelStrength(24.0, 25.0), LabelStrength(672.0, 50.0)))
BLANKET = Covering(1.0, None, "blanket")
TENT = Covering(0.0, None, "heated enclosure", setpoint_C=20.0, heater="electric")


def weather(air_C: Array) -> AirSeries:
    """Air from three days before the pour on."""
    same = np.ones_like(air_C)
    dry, calm, none, clouds, sun = air_C - 3, 2 * same, 0 * same, 0.5 * same, np.nan * same
    return AirSeries(
        POURED_AT - 72 * HOUR, air_C, dry, calm, none, clouds, sun, POURED_AT, "made up"
    )


def steady(air_C: float) -> AirSeries:
    return weather(np.full(72 + 40 * 24, air_C))


def bench(mixture: Mixture, cover: Covering, code: str, kind: str = "covered") -> Scenario:
    return Scenario(
        "bench",
        Site(kind, 44.0, 0.0),
        mixture,
        Shape("panel", 1500, 420, 60),
        Placement(POURED_AT, 18.0),
        coverings=(cover,),
        rules=ShopRules(code=code),
    )


def told(scenario: Scenario, air: AirSeries, now_h: float = 2.0) -> dict[str, StepWindow]:
    steps = timeline.project(scenario, air, POURED_AT + now_h * HOUR).steps
    return {step.step: step for step in steps}


def test_steady_cold_opens_by_turning_the_heat_down_first() -> None:
    step = told(bench(STRONG, TENT, "ACI"), steady(-8.0))["uncover"]
    assert step.safe is not None
    (says,) = [one for one in step.because if one.code == "turn_heat_down_first"]
    assert says.values["fall_K"] == 28.0
    # 20 over -8 is 28 K; to within 11 K at 28 K a day
    assert float(str(says.values["over_h"])) == pytest.approx(24 / 28 * (28 - 11), abs=3)


@pytest.mark.parametrize(("mixture", "days"), [(Mixture("general-purpose"), 3.0), (STRONG, 2.0)])
def test_the_days_of_aci_306r_are_kept_in_cold_weather(mixture: Mixture, days: float) -> None:
    """Exposed and partly loaded, against freezing: 3 days, 2 high-early (figure 3-38)."""
    step = told(bench(mixture, BLANKET, "ACI"), steady(2.0))["uncover"]
    assert step.safe is not None
    assert step.safe >= POURED_AT + 24 * days * HOUR
    mild = told(bench(STRONG, BLANKET, "ACI"), steady(15.0))["uncover"]
    assert mild.safe is not None
    assert mild.safe < POURED_AT + 48 * HOUR


def test_a_room_near_freezing_keeps_it_for_days() -> None:
    room = Site("unheated room", 44.0, 0.0)
    scenario = replace(bench(STRONG, BLANKET, "ACI"), site=room)
    step = told(scenario, steady(2.0))["uncover"]
    assert step.safe is not None
    assert step.safe >= POURED_AT + 48 * HOUR


def test_no_cover_comes_off_ahead_of_a_night_that_chills_the_face() -> None:
    t = np.arange(72 + 40 * 24) - 72.0
    air = np.where((t > 90) & (t < 102), -6.0, 12.0)
    scenario = bench(STRONG, BLANKET, "EN")
    simulation = physics.simulate(scenario, weather(air), POURED_AT + 2 * HOUR, 400)
    assert isinstance(simulation, physics.Simulation)
    chance = protect.uncover(cases.case_of(scenario, simulation, 2.0)).chance
    assert chance is not None
    assert chance[60] > 0.9  # before that night is in sight
    assert chance[80] < 0.5  # the face would fall from 12 to -6
    assert chance[110] > 0.9  # and it opens again


def test_the_least_ahead_is_the_least_of_the_rows_ahead() -> None:
    values = np.random.default_rng(3).normal(size=(60, 3))
    slow = np.array([values[k : k + 25].min(axis=0) for k in range(60)])
    assert np.array_equal(protect.lowest_ahead(values, 24), slow)


@pytest.mark.parametrize("told_strength", [True, False])
def test_full_use_and_the_end_of_the_damp_cure_are_reached(told_strength: bool) -> None:
    """12-answers D8: fractions of the specified strength, in the section, not of the mean at the
    coldest place of 9 in 10 pieces: those were practically never reached."""
    label = (LabelStrength(168.0, 24.0), LabelStrength(672.0, 35.0)) if told_strength else ()
    scenario = replace(bench(Mixture("general-purpose", label), BLANKET, "EN"), coverings=())
    simulation = physics.simulate(scenario, steady(16.0), POURED_AT + 2 * HOUR, 90 * 24)
    assert isinstance(simulation, physics.Simulation)
    trajectory = simulation.trajectory
    named = trajectory.named_28d_MPa
    assert 0.6 * named < trajectory.specified_28d_MPa < 0.85 * named
    case = cases.case_of(scenario, drying.settled(scenario, simulation, 2.0), 2.0)
    laid = use.hardened_h(trajectory)
    full = use.full_use(replace(case, coated=Film(0.0, laid)))
    age_d = trajectory.quantile(full.opens_h, 0.95) / 24
    assert 7 < age_d < (32 if told_strength else 75)
