"""3.5 MPa bears one frost of a piece that dries out by itself, 5 N/mm2 one kept from rain and snow:
water from outside fills the pores again (12-answers F2)."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from models.air.series import HOUR, AirSeries
from models.concrete.section import Covering
from models.facts.codes import CODES
from models.facts.frost import SOAKED_MPA
from models.planning import pour_check
from models.simulation import cases, physics
from models.simulation.scenario import Placement, Scenario, ShopRules
from models.steps import protect
from models.steps.opening import Trajectory
from models.units import Array

Panel = Callable[..., Scenario]
FREEZES_H = 60  # from here on the night; by then it bears a frost dry, and none wet
FILM = Covering(0.0, None, "film")
WET = Covering(6.0, None, "wet cover")


@pytest.fixture
def late_frost(cool: AirSeries) -> AirSeries:
    """Some 8 degC for sixty hours, then a hard night, then mild."""
    hour = np.arange(cool.hours) - 72
    cold = (hour >= FREEZES_H) & (hour < FREEZES_H + 14)
    air = np.where(cold, -9.0, 8.0)
    return replace(cool, air_C=air, dew_point_C=air - 4.0, rain_mm=0 * air)


def rained(air: AirSeries, *hours: int) -> AirSeries:
    rain = np.zeros(air.hours)
    rain[[72 + h for h in hours]] = 2.0
    return replace(air, rain_mm=rain)


def went(scenario: Scenario, air: AirSeries, now: datetime) -> physics.Simulation:
    simulation = physics.simulate(scenario, air, now, 150)
    assert isinstance(simulation, physics.Simulation)
    return simulation


@pytest.fixture
def open_panel(panel: Panel, poured_at: datetime) -> Scenario:
    return panel("open yard", placement=Placement(poured_at, 16.0), rules=ShopRules(code="ACI"))


def test_some_strength_between_dry_and_wet_is_reached_before_the_night(
    open_panel: Scenario, late_frost: AirSeries, poured_at: datetime
) -> None:
    trajectory = went(open_panel, late_frost, poured_at + HOUR).trajectory
    between = (trajectory.strength_MPa[FREEZES_H] > 3.5) & (
        trajectory.strength_MPa[FREEZES_H] < SOAKED_MPA
    )
    assert between.mean() > 0.2


def test_rain_before_the_frost_makes_it_harm_what_bears_one_dry(
    open_panel: Scenario, late_frost: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + HOUR
    dry = went(open_panel, late_frost, now)
    wet = went(open_panel, rained(late_frost, 2), now)
    after = went(open_panel, rained(late_frost, FREEZES_H + 30), now)
    assert dry.frozen_by(150.0) < 0.3
    assert wet.frozen_by(150.0) > dry.frozen_by(150.0) + 0.2
    assert after.frozen_by(FREEZES_H + 29.0) == pytest.approx(
        dry.frozen_by(FREEZES_H + 29.0), abs=0.02
    ), "what comes after the frost does not soak it before"


def test_film_keeps_the_rain_off_and_a_wet_cover_brings_its_own(
    open_panel: Scenario, late_frost: AirSeries, poured_at: datetime
) -> None:
    now, wet_sky = poured_at + HOUR, rained(late_frost, 3, 40)
    filmed = went(replace(open_panel, coverings=(FILM,)), wet_sky, now).trajectory
    assert filmed.soaked_h is not None
    assert np.isinf(filmed.soaked_h).all()
    burlap = went(replace(open_panel, coverings=(WET,)), late_frost, now).trajectory
    assert burlap.soaked_h is not None
    assert set(burlap.soaked_h) == {6.0}


@pytest.mark.parametrize(("code", "dry_MPa"), [("ACI", 3.5), ("EN", 5.0)])
def test_the_need_is_that_of_the_code_dry_and_seven_wet(code: str, dry_MPa: float) -> None:
    assert CODES[code].frost_MPa == dry_MPa
    rows = np.arange(40.0)
    strength = np.outer(rows, np.array([0.25, 0.25, 0.25]))
    trajectory = bare_trajectory(strength, soaked_h=np.array([np.inf, 4.0, 35.0]))
    assert list(trajectory.frost_need_MPa(dry_MPa)) == [dry_MPa, SOAKED_MPA, dry_MPa]
    summer = replace(trajectory, air_C=trajectory.air_C + 15.0)
    assert list(summer.frost_need_MPa(dry_MPa)) == 3 * [dry_MPa], "a wet cover against the sun"


def bare_trajectory(strength_MPa: Array, soaked_h: Array) -> Trajectory:
    rows, members = strength_MPa.shape
    same, one = np.zeros((rows, members)), np.ones(members)
    return Trajectory(
        hour=np.arange(float(rows)),
        weight=one / members,
        strength_MPa=strength_MPa,
        strength_mean_MPa=strength_MPa,
        te_mean_h=same,
        te_cold_h=same,
        mean_C=same,
        top_C=same,
        coldest_C=same,
        air_C=same,
        dew_point_C=same,
        rh=same,
        wind_m_s=same,
        rain_mm=same,
        initial_set_h=one,
        final_set_h=one,
        harm=same,
        frost_depth=one,
        named_28d_MPa=40.0,
        specified_28d_MPa=30.0,
        forecast_rows=rows,
        soaked_h=soaked_h,
    )


def test_a_wet_cover_stays_until_a_wet_frost_is_borne(
    open_panel: Scenario, late_frost: AirSeries, poured_at: datetime
) -> None:
    """Laid wet it asked for 3.5 MPa, as if it had been kept dry."""

    def opened(cover: Covering) -> tuple[float, float]:
        scenario = replace(open_panel, coverings=(cover,))
        simulation = went(scenario, late_frost, poured_at + HOUR)
        opening = protect.uncover(cases.case_of(scenario, simulation, 1.0))
        assert isinstance(opening.need.value, float)
        return opening.need.value, len(opening.cautions)

    assert opened(replace(FILM, kind="blanket")) == (3.5, 1)
    assert opened(WET) == (SOAKED_MPA, 2)


def test_no_cover_comes_off_before_a_rain_on_what_bears_no_wet_frost(
    open_panel: Scenario, late_frost: AirSeries, poured_at: datetime
) -> None:
    scenario = replace(open_panel, coverings=(Covering(1.0, None, "blanket"),))
    dry = went(scenario, late_frost, poured_at + HOUR).trajectory
    strong_h = dry.first(dry.strength_MPa, 3.5)
    wet_h = dry.first(dry.strength_MPa, SOAKED_MPA)
    at = int(np.median(strong_h)) + 2
    wet = went(scenario, rained(late_frost, at), poured_at + HOUR).trajectory
    waits = protect.rained_out_h(wet, strong_h)
    assert np.all(protect.rained_out_h(dry, strong_h) == 0)
    caught = (np.floor(strong_h) <= at) & (wet_h > at + 1)
    assert caught.mean() > 0.25
    assert np.all(waits[caught] == at + 1)


def test_the_pour_check_counts_rain_on_an_open_piece(
    open_panel: Scenario, late_frost: AirSeries, poured_at: datetime
) -> None:
    def bare(air: AirSeries) -> float:
        answer = pour_check.check(open_panel, air, poured_at, days=1, only=poured_at)
        (way,) = (one for one in answer.options if one.protection.code == "way_bare")
        assert way.frost_chance is not None
        return way.frost_chance

    assert bare(rained(late_frost, 2)) > bare(late_frost) + 0.1
