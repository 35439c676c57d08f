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


def covered_h(scenario: Scenario) -> float:
    """Hour at which film goes on the face: when it was done, else at the initial set."""
    return scenario.done_h.get("cover", scenario.resolved().mix.initial_set_h)


def bare_rows(scenario: Scenario) -> int:
    """Hourly rows from placing at which the face is still open to the air; at least one."""
    return int(_bare_h(scenario)) + 1


def evaporation_limit(scenario: Scenario) -> float:
    """Evaporation that the face bears while it is bare [kg/m2h]; more where film follows at once.

    Source: ACI_305R; OWN_JUDGEMENT for the fraction, since bleed water covers the first hour.
    """
    bleeds = CLASSES[scenario.mixture.kind].bleeds
    limit = EVAPORATION_KG_M2H if bleeds else EVAPORATION_LOW_BLEED_KG_M2H
    return limit * (SHORT_BARE_FRACTION if _bare_h(scenario) <= PLACING_H else 1.0)


def _bare_h(scenario: Scenario) -> float:
    sealed = [covering.from_h for covering in scenario.coverings if COVERS[covering.kind].sealed]
    return min([covered_h(scenario), *sealed])


def worst_evaporation(
    rows: int, simulation: heat.Histories | Trajectory, air_C: Array, rh: Array, wind_m_s: Array
) -> Array:
    """Worst evaporation of each member over the first rows [kg/m2h].

    The formula wants the concrete's temperature, not the skin that evaporation has cooled already:
    the warmer of face and mean is taken.

    Source: UNO_1998.
    """
    rate = evaporation.evaporation_rate(
        concrete_C=np.clip(np.maximum(simulation.top_C, simulation.mean_C)[:rows], -16.9, 80),
        air_C=np.clip(air_C[:rows], -16.9, 80),
        rh_fraction=rh[:rows],
        wind_km_h=np.clip(3.6 * wind_m_s[:rows], 0, 150),
    )
    return np.asarray(rate.max(axis=0))


def evaporation_at_90(scenario: Scenario, trajectory: Trajectory) -> float:
    """Worst evaporation of the bare hours that 90 % of the members stay under [kg/m2h]."""
    worst = worst_evaporation(
        bare_rows(scenario), trajectory, trajectory.air_C, trajectory.rh, trajectory.wind_m_s
    )
    doubt = evaporation.formula_doubt(trajectory.members)
    return trajectory.quantile(worst * doubt, 0.9)
