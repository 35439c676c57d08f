"""What the mix and the weather alone foresee where something was read, seen or broken."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models.air.series import AirSeries
from models.concrete import strength
from models.errors import Unknown
from models.simulation.residuals import until_last
from models.simulation.scenario import SET_KINDS, Observation, Scenario, StrengthTest
from models.steps.opening import Trajectory
from models.units import Array

MEMBERS = 64
MIN_MAX = "air-min-max"


@dataclass(frozen=True)
class Band:
    """10, 50 and 90 % of the members; None where they do not get there."""

    p10: float | None
    p50: float | None
    p90: float | None


@dataclass(frozen=True)
class Predicted:
    """Bands in the order of the scenario's observations and tests; None outside the record.

    observations : [degC]; for a set seen, hours from placing [h]
    highs : the high of a min-max reading [degC], None for every other
    tests : [MPa], in bending for a bar
    """

    observations: tuple[Band | None, ...]
    highs: tuple[Band | None, ...]
    tests: tuple[Band | None, ...]


def predict(scenario: Scenario, air: AirSeries | Unknown, now: datetime) -> Predicted | Unknown:
    """What the model says at each observation and test, knowing none of them.

    scenario : the pour with all that was seen; air : hourly weather, or what is missing

    Returns Unknown without weather. Source: OWN_JUDGEMENT (members as in `physics.simulate`).
    """
    instants = [one.at for one in scenario.observations] + [one.at for one in scenario.tests]
    if not instants:
        return air if isinstance(air, Unknown) else Predicted((), (), ())
    blind = replace(scenario, observations=(), tests=())
    simulation = until_last(blind, air, now, instants, MEMBERS)
    if isinstance(simulation, Unknown):
        return simulation
    trajectory = simulation.trajectory

    readings = [(one, scenario.hour(one.at)) for one in scenario.observations]
    return Predicted(
        tuple(_observed(trajectory, *reading) for reading in readings),
        tuple(_extreme(trajectory, *reading, high=True) for reading in readings),
        tuple(_broken(trajectory, one, scenario.hour(one.at)) for one in scenario.tests),
    )


def _observed(trajectory: Trajectory, reading: Observation, hour: float) -> Band | None:
    if reading.kind in SET_KINDS:
        set_h = trajectory.set_h(reading.kind)
        return _band(trajectory, trajectory.first(trajectory.te_mean_h, set_h))
    if reading.kind == MIN_MAX:
        return _extreme(trajectory, reading, hour, high=False)
    values = {"air": trajectory.air_C, "concrete": trajectory.mean_C, "surface": trajectory.top_C}
    if reading.kind not in values or not 0 <= hour <= trajectory.hour[-1]:
        return None  # a tile's mass and a film say how dry it is: no number stands beside them
    return _band(trajectory, trajectory.at(values[reading.kind], hour))


def _extreme(
    trajectory: Trajectory, reading: Observation, hour: float, *, high: bool
) -> Band | None:
    """Lowest or highest air before a min-max reading, as far as the piece was there by then."""
    first, last = max(0, int(np.ceil(hour - reading.span_h))), int(np.floor(hour))
    if reading.kind != MIN_MAX or hour > trajectory.hour[-1] or last < first:
        return None
    window = trajectory.air_C[first : last + 1]
    return _band(trajectory, window.max(axis=0) if high else window.min(axis=0))


def _broken(trajectory: Trajectory, test: StrengthTest, hour: float) -> Band | None:
    if not 0 < hour <= trajectory.hour[-1]:
        return None
    compression = np.maximum(trajectory.at(trajectory.strength_mean_MPa, hour), 0.0)
    return _band(trajectory, strength.flexural(compression) if test.kind == "bar" else compression)


def _band(trajectory: Trajectory, values: Array) -> Band:
    return Band(*(round(v, 2) if np.isfinite(v) else None for v in trajectory.band(values)))
