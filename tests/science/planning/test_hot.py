"""Against drying in the first hours: each measure helps as the physics says, in order of cost."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.errors import InputError
from models.planning import evaporation_control, pour_check, timeline, watch
from models.simulation import physics
from models.simulation.scenario import Placement, Scenario
from tests.support.words import parts

HOUR = timedelta(hours=1)


def named(effect: evaporation_control.Effect) -> str:
    """The measure by its own name, another change by its code."""
    return str(effect.measure.values.get("measure", effect.measure.code))


@pytest.fixture
def july(cool: AirSeries) -> AirSeries:
    """Dry, windy days: 22 C at dawn, 36 C in the afternoon, clear."""
    t = np.arange(cool.hours, dtype=np.float64)
    air = 29 + 7 * np.sin(2 * np.pi * (t - 2) / 24)
    return replace(
        cool, air_C=air, dew_point_C=0 * t + 6.0, wind_m_s=0 * t + 9.0, cloud_fraction=0.0 * t
    )


@pytest.fixture
def yard(panel: Callable[..., Scenario], poured_at: datetime) -> Scenario:
    """In the yard at noon."""
    noon = poured_at + 4 * HOUR
    return panel(site=Site("open yard", 40.0, -75.0), placement=Placement(noon, 24.0))


def test_every_measure_is_reckoned_and_none_makes_it_worse(
    yard: Scenario, july: AirSeries, poured_at: datetime
) -> None:
    simulation = physics.simulate(yard, july, poured_at, evaporation_control.SIMULATED_H)
    assert isinstance(simulation, physics.Simulation)
    told = {named(e): e.rate_kg_m2h for e in evaporation_control.effects(yard, july, poured_at)}
    assert list(told) == ["shade", "wind break", "fog", "start_at", "cold_water", "measures_all"]
    assert (
        told.pop("shade") <= simulation.evaporation_kg_m2h
    )  # the worst hour is the first: no sun in it
    assert max(told.values()) < simulation.evaporation_kg_m2h
    assert min(told, key=lambda name: told[name]) in ("measures_all", "start_at")


def test_the_cooler_hour_is_in_the_night_or_at_dawn(
    yard: Scenario, july: AirSeries, poured_at: datetime
) -> None:
    found = evaporation_control.effects(yard, july, poured_at)
    at = next(e.measure.values["at"] for e in found if named(e) == "start_at")
    assert isinstance(at, datetime)
    assert at.astimezone(UTC).hour in (
        7,
        8,
        9,
        10,
        11,
        12,
    )  # the made-up days are coldest at 12 UTC


def test_what_was_done_is_in_the_answer_and_not_advised_again(
    yard: Scenario, july: AirSeries, poured_at: datetime
) -> None:
    broken = replace(yard, placement=replace(yard.placement, measures=("wind break",)))
    assert all(
        named(e) != "wind break" for e in evaporation_control.effects(broken, july, poured_at)
    )
    rate = []
    for scenario in (yard, broken):
        simulation = physics.simulate(scenario, july, poured_at, 12)
        assert isinstance(simulation, physics.Simulation)
        rate.append(simulation.evaporation_kg_m2h)
    assert rate[1] < rate[0]


def test_the_pour_check_counts_measures_and_tells_their_effects(
    yard: Scenario, july: AirSeries, poured_at: datetime
) -> None:
    fogged = replace(yard, placement=replace(yard.placement, measures=("wind break", "fog")))

    def dries(scenario: Scenario) -> float:
        answer = pour_check.check(scenario, july, poured_at, only=yard.placement.at)
        bare = next(o for o in answer.options if o.protection.code == "way_bare")
        return next(r.value for r in bare.risks if r.risk == watch.DRIES)

    assert dries(fogged) < 0.6 * dries(yard)
    answer = pour_check.check(yard, july, poured_at, only=yard.placement.at)
    told = next(one for one in answer.cautions if one.code == "bare_face_dries")
    measures = [one.code for one in parts(told, "measures")]
    assert set(measures) == {"measure_leaves"}
    assert len(measures) >= 5


def test_a_mix_as_hot_as_can_be_told_is_answered_in_any_hour(
    yard: Scenario, july: AirSeries, poured_at: datetime
) -> None:
    """Cold nights come first: the best hour to start is warmer than the one asked about."""
    hot_mix = replace(yard, placement=Placement(poured_at + 4 * HOUR, 50.0))
    warmer = replace(
        july,
        air_C=july.air_C - 12 * (np.arange(july.hours) < 77),
        dew_point_C=july.dew_point_C - 12,
        wind_m_s=np.where(np.arange(july.hours) < 77, 9.0, 0.5),
    )
    assert evaporation_control.effects(hot_mix, warmer, poured_at)


def test_a_hole_in_the_coming_night_hides_no_measure_and_is_no_cooler_hour(
    yard: Scenario, july: AirSeries, poured_at: datetime
) -> None:
    hour = np.arange(july.hours)
    hole = (hour >= 92) & (hour < 100)
    holed = replace(
        july,
        air_C=np.where(hole, np.nan, july.air_C),
        dew_point_C=np.where(hole, np.nan, july.dew_point_C),
    )
    assert timeline.project(yard, holed, poured_at).concrete is not None
    told = [named(e) for e in evaporation_control.effects(yard, holed, poured_at)]
    assert told[:4] == ["shade", "wind break", "fog", "start_at"]


def test_once_it_has_set_there_is_nothing_left_to_do(yard: Scenario, july: AirSeries) -> None:
    assert evaporation_control.effects(yard, july, yard.placement.at + 7 * HOUR) == ()
    names = {
        named(e) for e in evaporation_control.effects(yard, july, yard.placement.at + 2 * HOUR)
    }
    assert names
    assert not names & {"start_at", "cold_water"}


def test_a_measure_nobody_knows_is_refused(poured_at: datetime) -> None:
    with pytest.raises(InputError, match="shade"):
        Placement(poured_at, 20.0, measures=("umbrella",))


@pytest.mark.parametrize(("told_C", "offered"), [(3.5, False), (24.0, True)])
def test_an_hour_that_asks_for_colder_concrete_than_there_is_is_none(
    yard: Scenario, july: AirSeries, poured_at: datetime, told_C: float, offered: bool
) -> None:
    """D12: concrete that follows the air under a degree was held at one, and that effect told."""
    cold = replace(yard, placement=replace(yard.placement, concrete_C=told_C))
    found = {named(e) for e in evaporation_control.effects(cold, july, poured_at)}
    assert ("start_at" in found) == offered
