"""Bags, water and board as warm as they were told."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import numpy as np
import pytest

from models.air.series import AirSeries
from models.concrete.section import MouldBoard
from models.concrete.setting import mix_temperature
from models.errors import InputError, Unknown
from models.facts.fresh import CARRIED_H, DRY_PER_WATER, LOST_PER_H
from models.simulation import physics
from models.simulation.scenario import Placement, Scenario
from models.steps.opening import Trajectory
from models.units import Array


def simulation(scenario: Scenario, air: AirSeries) -> Array:
    """Mean temperature of the piece, (rows, members) [degC]."""
    return trajectory(scenario, air).mean_C


def trajectory(scenario: Scenario, air: AirSeries) -> Trajectory:
    told = physics.simulate(scenario, air, scenario.placement.at + timedelta(hours=1), 48)
    assert not isinstance(told, Unknown)
    return told.trajectory


def placed(scenario: Scenario, **told: float) -> Scenario:
    told_of: dict[str, Any] = dict(told)
    return replace(scenario, placement=Placement(scenario.placement.at, **told_of))


def test_warm_water_on_cold_bags_gives_the_temperature_of_the_mixing_formula(
    panel: Callable[..., Scenario], cool: AirSeries
) -> None:
    air = float(cool.air_C[72])
    mixed = mix_temperature(dry_kg=DRY_PER_WATER, dry_C=2.0, water_kg=1.0, water_C=50.0)
    wanted = mixed - LOST_PER_H * CARRIED_H * (mixed - air)
    start = simulation(placed(panel(), bag_C=2.0, water_C=50.0), cool)[0]
    assert np.median(start) == pytest.approx(wanted, abs=0.5)
    assert 0.6 < start.std() < 1.5  # between a thermometer in the mix and a guess


def test_bags_from_a_warm_room_make_it_warmer_than_the_air(
    panel: Callable[..., Scenario], cool: AirSeries
) -> None:
    guess, warm = (simulation(placed(panel(), **told), cool)[0] for told in ({}, {"bag_C": 25.0}))
    assert np.median(warm) > np.median(guess) + 3


def test_a_thermometer_in_the_mix_goes_before_bags_and_water(
    panel: Callable[..., Scenario], cool: AirSeries
) -> None:
    measured = simulation(placed(panel(), concrete_C=17.0), cool)
    both = simulation(placed(panel(), concrete_C=17.0, bag_C=2.0, water_C=50.0), cool)
    np.testing.assert_array_equal(measured, both)


@pytest.mark.parametrize("kind", ["melamine", "ground"])
def test_on_a_colder_board_it_is_never_older(
    panel: Callable[..., Scenario], cool: AirSeries, kind: str
) -> None:
    on = replace(panel(), mould=MouldBoard(kind, 18.0))
    cold, mild, warm = (
        trajectory(placed(on, concrete_C=17.0, board_C=board), cool) for board in (-5, 9, 25)
    )
    assert (cold.te_mean_h <= mild.te_mean_h + 1e-9).all()
    assert (mild.te_mean_h <= warm.te_mean_h + 1e-9).all()
    assert (warm.mean_C - cold.mean_C)[2].mean() > 1.0


@pytest.mark.parametrize(("name", "value"), [("bag_C", 80.0), ("water_C", -1.0), ("board_C", 90)])
def test_temperatures_that_cannot_be_are_refused(
    poured_at: datetime, name: str, value: float
) -> None:
    told: dict[str, Any] = {name: value}
    with pytest.raises(InputError) as refused:
        Placement(poured_at, **told)
    assert refused.value.field == name
