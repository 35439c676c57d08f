"""Loading and setting up: strong enough for the road, a film that is through, and told to go."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.coating.film import SealerSystem
from models.concrete.mixture import LabelStrength, Mixture
from models.piece.handling import strength_needed_MPa
from models.piece.shape import Shape
from models.piece.turning import peeled_stress_MPa, travel_stress_MPa, turning_ways
from models.planning import alerts, timeline
from models.results import Projection
from models.simulation.scenario import Done, Placement, Scenario

POURED_AT = datetime(2026, 5, 4, 15, tzinfo=UTC)
TOP = Shape("panel", 1800.0, 900.0, 40.0)


def weather() -> AirSeries:
    t = np.arange(72 + 40 * 24)
    air = 16.0 + 4.0 * np.sin(2 * np.pi * (t - 9) / 24)
    same = np.ones_like(air)
    begins = POURED_AT - 72 * HOUR
    plain = (0.0 * same, 0.4 * same, np.nan * same)
    return AirSeries(begins, air, air - 5.0, 2.0 * same, *plain, POURED_AT, "made up")


def top(*, sealed: bool, delivered: bool = True) -> Scenario:
    label = (LabelStrength(72.0, 14.0), LabelStrength(672.0, 35.0))
    return Scenario(
        "top",
        Site("covered", 44.0, 0.0),
        Mixture("general-purpose", label),
        TOP,
        Placement(POURED_AT, 18.0, delivered=delivered),
        sealer=SealerSystem("water-based-acrylic") if sealed else SealerSystem(),
    )


def told(scenario: Scenario, after_h: float = 2.0) -> Projection:
    return timeline.project(scenario, weather(), POURED_AT + timedelta(hours=after_h))


def test_a_piece_that_stays_has_neither_step() -> None:
    keys = {one.step for one in told(top(sealed=False, delivered=False)).steps}
    assert not {"load", "install"} & keys


def test_bare_it_goes_when_it_bears_the_road_and_never_in_its_mould() -> None:
    steps = {one.step: one for one in told(top(sealed=False)).steps}
    load, install = steps["load"], steps["install"]
    road = 2.0 / 1.5 * turning_ways(TOP, 2350.0)[0].stress_MPa
    assert load.need.value == pytest.approx(max(10.0, strength_needed_MPa(road)), rel=0.03)
    assert (load.after, install.after) == ("strip", "load")
    assert load.safe
    assert steps["strip"].safe
    assert install.safe
    assert steps["strip"].safe <= load.safe <= install.safe
    assert [one.code for one in load.cautions] == ["hazard_on_edge", "load_on_edge"]
    assert [one.code for one in install.cautions] == ["hazard_on_edge", "install_floor"]


def test_sealed_it_goes_when_its_film_is_through() -> None:
    """As long after the last coat as full use waits for: till then a wrap sticks."""
    made = top(sealed=True)
    waits = {one.step: one for one in told(made).steps}
    assert (waits["load"].after, waits["full-use"].after) == ("coat-6", "coat-6")
    hours = {"strip": 60.0, "turn": 61.0, **{f"coat-{k}": 300.0 + 4 * k for k in range(1, 7)}}
    done = tuple(Done(key, POURED_AT + hour * HOUR) for key, hour in hours.items())
    load = {one.step: one for one in told(replace(made, done=done), 325.0).steps}["load"]
    coat_at = POURED_AT + hours["coat-6"] * HOUR
    assert load.state == "not yet"
    assert load.safe is not None
    assert load.safe - coat_at >= timedelta(days=1)


def test_where_it_is_set_up_no_weather_of_the_shop_is_told() -> None:
    scenario = top(sealed=False)
    at = POURED_AT + timedelta(hours=300)
    done = tuple(
        Done(step, POURED_AT + timedelta(hours=hour))
        for step, hour in (("strip", 60), ("load", 280), ("install", 300))
    )
    there = replace(scenario, done=done)
    now = at + HOUR
    found, asked = alerts.foreseen(there, None, now)  # type: ignore[arg-type]  # looks at no air
    assert (found, asked) == ((), None)


def test_the_road_asks_for_more_than_a_turn() -> None:
    for shape in (TOP, Shape("box", 900.0, 500.0, height_mm=400.0, wall_mm=40.0)):
        turned = turning_ways(shape, 2400.0)[0].stress_MPa
        assert travel_stress_MPa(shape, 2400.0) == pytest.approx(2.0 / 1.5 * turned)


def test_the_pull_of_a_core_bends_thin_walls_most() -> None:
    """By hand: 2 kN/m2 on 0.1 m pulls 0.2 N a millimetre of rim; 600 deep it bends by
    6 x 0.2 x 550 / 25^2 = 1.06 MPa, where the way round, 1150 long, would by more."""
    thin = Shape("box", 1200.0, 800.0, height_mm=600.0, wall_mm=25.0)
    assert peeled_stress_MPa(thin, 2.0) == pytest.approx(1.056, rel=1e-3)
    usual = Shape("box", 900.0, 700.0, height_mm=400.0, wall_mm=40.0)
    assert strength_needed_MPa(peeled_stress_MPa(usual, 2.0)) < 5.0
    assert peeled_stress_MPa(TOP, 2.0) == 0.0
    assert peeled_stress_MPa(replace(thin, floor_mm=25.0), 2.0) == peeled_stress_MPa(thin, 2.0)
    assert peeled_stress_MPa(thin, 3.0) == pytest.approx(1.5 * peeled_stress_MPa(thin, 2.0))


def test_no_floor_holds_the_wall_of_a_box_that_has_none() -> None:
    """By hand: 0.2 N a millimetre of rim on 0.1 m, 1150 long between neighbours: 6 x 0.2 x 1150^2
    / 12 / 100 / 25^2 = 2.1 MPa, where a floor would leave 1.06."""
    floorless = Shape("box", 1200.0, 800.0, height_mm=600.0, wall_mm=25.0, floor_mm=0.0)
    assert peeled_stress_MPa(floorless, 2.0) == pytest.approx(2.116, rel=1e-3)


def test_the_sides_of_a_table_on_two_legs_wait_for_the_core_between_them() -> None:
    bench = Shape("u-shape", 1200.0, 400.0, 50.0, height_mm=450.0, wall_mm=50.0)
    steps = {one.step: one for one in told(replace(top(sealed=False), shape=bench)).steps}
    core, strip = steps["core"], steps["strip"]
    assert core.need.value >= strength_needed_MPa(peeled_stress_MPa(bench, 2.0))
    assert core.safe is not None
    assert strip.safe is not None
    assert core.safe <= strip.safe
