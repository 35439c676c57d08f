"""A deep piece placed in lifts: how much of it still presses as a liquid."""

import numpy as np

from models.air.series import HOUR
from models.simulation.batched import depth_mm
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.units import Array


def depths_mm(scenario: Scenario) -> Array:
    """How deep each batch lies in the mould, the oldest first, (batches,) [mm].

    As told; of the others each has its share of what is left, by bags where all of them are told.
    Source: geometry.
    """
    batches = scenario.batched.batches
    told = np.array([one.thickness_mm or 0.0 for one in batches])
    untold = [one for one in batches if one.thickness_mm is None]
    if untold:
        bags = [one.bags for one in untold]
        share = np.array([one or 1.0 for one in bags] if all(bags) else [1.0] * len(untold))
        left_mm = max(depth_mm(scenario) - float(told.sum()), 0.0)
        told[[one.thickness_mm is None for one in batches]] = left_mm * share / share.sum()
    return told


def fresh_depth_mm(scenario: Scenario, simulation: Simulation, at_h: float) -> Array:
    """Depth of what has not begun to set at an hour from placing [h], (members,) [mm]: the head
    that presses on the walls. Without batches all of it went in with the youngest.

    at_h : from placing [h], before it too: what is not in by then presses nowhere
    Each batch sets so long after it went in as the youngest does.
    Source: ASTM_C403 for the initial set; hydrostatics.
    """
    trajectory = simulation.trajectory
    set_h = trajectory.first(trajectory.te_mean_h, trajectory.initial_set_h)
    batches = scenario.batched.batches
    if not batches:
        return np.where((at_h >= 0) & (at_h < set_h), depth_mm(scenario), 0.0)
    placed_h = np.array([(one.at - scenario.placement.at) / HOUR for one in batches])[:, None]
    fresh = (placed_h <= at_h) & (at_h < placed_h + set_h)
    depth: Array = depths_mm(scenario) @ fresh
    return depth
