"""How far broken cubes and seen sets of one pour lie off what its mix alone foresees."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models.air.series import AirSeries
from models.errors import Unknown
from models.simulation import calibrate
from models.simulation.physics import Simulation, simulate
from models.simulation.scenario import SET_KINDS, Scenario
from models.steps.opening import Trajectory
from models.units import Array

MEMBERS = 48
LEAST_MPA = 0.5  # in the first hours a small error of time is a large one of strength


@dataclass(frozen=True)
class Residuals:
    """Mean of the logarithm of seen over predicted, and of the members' spread, dimensionless.

    None where nothing was seen.
    """

    strength: tuple[float, float] | None = None
    setting: tuple[float, float] | None = None


def until_last(
    scenario: Scenario,
    air: AirSeries | Unknown,
    now: datetime,
    instants: Sequence[datetime],
    members: int,
) -> Simulation | Unknown:
    """A pour simulated to the last of some instants, as what it is given foresees them."""
    if isinstance(air, Unknown):
        return air
    hours = int(np.ceil(scenario.hour(max(instants)))) + 2
    return simulate(scenario, air, now, hours, members)


def of(scenario: Scenario, air: AirSeries | Unknown, now: datetime) -> Residuals:
    """What one pour tells of its mix; nothing without weather.

    scenario : the pour with all its results; the mix as its label has it, nothing learned
    """
    scenario = scenario.without_wrong_readings()
    last = [test.at for test in scenario.tests]
    last += [reading.at for reading in scenario.observations if reading.kind in SET_KINDS]
    if not last:
        return Residuals()
    readings = tuple(o for o in scenario.observations if o.kind not in SET_KINDS)
    blind = replace(scenario, tests=(), observations=readings)
    simulation = until_last(blind, air, now, last, MEMBERS)
    if isinstance(simulation, Unknown):
        return Residuals()
    return Residuals(
        _strength(scenario, simulation.trajectory), _setting(scenario, simulation.trajectory)
    )


def _strength(scenario: Scenario, trajectory: Trajectory) -> tuple[float, float] | None:
    misses = []
    for test in scenario.tests:
        hour = scenario.hour(test.at)
        if 0 < hour <= trajectory.hour[-1]:
            missed, predicted = calibrate.strength_missed(trajectory, test, hour)
            misses += [missed] if np.median(predicted) >= LEAST_MPA else []
    return _middle(misses)


def _setting(scenario: Scenario, trajectory: Trajectory) -> tuple[float, float] | None:
    sets = [(scenario.hour(o.at), o) for o in scenario.observations if o.kind in SET_KINDS]
    return _middle(
        [calibrate.set_missed(trajectory, o, h) for h, o in sets if 0 < h <= trajectory.hour[-1]]
    )


def _middle(misses: list[Array]) -> tuple[float, float] | None:
    """Median and spread over the members, each averaged over the results of the pour."""
    if not misses:
        return None
    return (
        float(np.mean([np.median(miss) for miss in misses])),
        float(np.mean([np.std(miss) for miss in misses])),
    )
