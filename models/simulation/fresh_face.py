"""The face of a fresh piece: until when it is bare, and how fast it dries meanwhile."""

import numpy as np

from models.air import evaporation
from models.concrete import heat
from models.facts.cements import CLASSES
from models.facts.protection import COVERS, EVAPORATION_KG_M2H, EVAPORATION_LOW_BLEED_KG_M2H
from models.simulation.scenario import Scenario
from models.steps.opening import Trajectory
from models.units import Array

PLACING_H = 1.0  # a cover that follows within this time counts as following at once
SHORT_BARE_FRACTION = 1.5


def told_h(scenario: Scenario) -> float:
    """Hour at which film or a cover that keeps water in was told to lie on the face [h]; infinite:
    none was. What is only meant keeps no water in."""
    sealed = [covering.from_h for covering in scenario.coverings if COVERS[covering.kind].sealed]
    return min([scenario.done_h.get("cover", np.inf), *sealed])


def bare_rows(scenario: Scenario, set_h: Array) -> Array:
    """Hourly rows from placing at which the face is still open to the air, at least one: until it
    is covered or has set. set_h : any shape [h], infinite where it does not set."""
    rows: Array = np.floor(np.minimum(told_h(scenario), set_h)) + 1
    return rows


def evaporation_limit(scenario: Scenario) -> float:
    """Evaporation that the face bears while it is bare [kg/m2h]; more where film follows at once on
    a mix that bleeds.

    Source: ACI_305R; OWN_JUDGEMENT for the fraction, since bleed water covers the first hour.
    """
    if not CLASSES[scenario.mixture.kind].bleeds:
        return EVAPORATION_LOW_BLEED_KG_M2H
    at_once = told_h(scenario) <= PLACING_H
    return EVAPORATION_KG_M2H * (SHORT_BARE_FRACTION if at_once else 1.0)


def worst_evaporation(
    rows: Array, simulation: heat.Histories | Trajectory, air_C: Array, rh: Array, wind_m_s: Array
) -> Array:
    """Worst evaporation of each member over its first rows, (members,) [kg/m2h].

    The formula wants the concrete's temperature, not the skin that evaporation has cooled already:
    the warmer of face and mean is taken.

    Source: UNO_1998.
    """
    most = int(np.clip(rows.max(), 1, len(air_C)))
    rate = evaporation.evaporation_rate(
        concrete_C=np.maximum(simulation.top_C, simulation.mean_C)[:most],
        air_C=air_C[:most],
        rh_fraction=rh[:most],
        wind_km_h=3.6 * wind_m_s[:most],
    )
    bare = np.arange(most)[:, None] < rows
    return np.asarray(np.where(bare, rate, 0.0).max(axis=0))


def evaporation_at_90(scenario: Scenario, trajectory: Trajectory) -> float:
    """Worst evaporation of the bare hours that 90 % of the members stay under [kg/m2h]."""
    set_h = trajectory.first(trajectory.te_mean_h, trajectory.initial_set_h)
    worst = worst_evaporation(
        bare_rows(scenario, set_h), trajectory, trajectory.air_C, trajectory.rh, trajectory.wind_m_s
    )
    doubt = evaporation.formula_doubt(trajectory.members)
    return trajectory.quantile(worst * doubt, 0.9)
