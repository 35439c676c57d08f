"""The concrete as placed: how warm and how surely, and with what water."""

import numpy as np

from models.concrete import prior as priors
from models.concrete import strength
from models.concrete.mixture import Mixture
from models.draws import Draws
from models.facts.fresh import PLACED_C
from models.facts.instruments import GUESSED_SD_K, MEASURED_SD_K, MIXED_SD_K
from models.facts.moisture import WETTEST_WATER_CEMENT
from models.message import Message
from models.simulation.scenario import Scenario
from models.steps import place
from models.units import Array


def placed_C(scenario: Scenario, air_C: Array, many: int) -> Array:
    """Concrete as placed, (members,) [degC]; air_C : (members,) [degC] at that hour."""
    measured_C = scenario.placement.concrete_C
    likely = as_mixed(scenario, air_C) if measured_C is None else measured_C
    return np.clip(likely + doubt_K(scenario) * Draws(many).normal("placed"), *PLACED_C)


def held(scenario: Scenario, air_C: Array) -> tuple[Message, ...]:
    """What of the concrete lies beyond what any has, and at what it is held; air_C : (members,)
    [degC] at that hour."""
    return (*_held_temperature(scenario, air_C), *_held_water(scenario))


def _held_water(scenario: Scenario) -> tuple[Message, ...]:
    """Strength falls by its law with all the water; how it dries is known no further."""
    if scenario.water_cement <= WETTEST_WATER_CEMENT:
        return ()
    told = {"water_cement": scenario.water_cement, "held_water_cement": WETTEST_WATER_CEMENT}
    return (Message("water_held", told),)


def _held_temperature(scenario: Scenario, air_C: Array) -> tuple[Message, ...]:
    """Of concrete of which nobody told how warm it is."""
    if scenario.placement.concrete_C is not None:
        return ()
    likely_C = float(np.median(as_mixed(scenario, air_C)))
    least_C, most_C = PLACED_C
    if least_C <= likely_C <= most_C:
        return ()
    held_C = least_C if likely_C < least_C else most_C
    return (Message("placed_held", {"found_C": round(likely_C, 1), "held_C": held_C}),)


def as_mixed(scenario: Scenario, air_C: Array) -> Array:
    """Concrete as placed out of the bags and the water that were told, else as warm as the air."""
    placement = scenario.placement
    if placement.bag_C is None and placement.water_C is None:
        return air_C
    return place.mixed_C(np.clip(air_C, -60.0, 60.0), placement.bag_C, placement.water_C)


def doubt_K(scenario: Scenario) -> float:
    """Doubt of the concrete as placed [K]: measured, mixed of what was told, or guessed."""
    placement = scenario.placement
    if placement.concrete_C is not None:
        return MEASURED_SD_K
    guessed = [placement.bag_C is None, placement.water_C is None]
    if all(guessed):
        return GUESSED_SD_K
    untold = float(np.dot(guessed, (place.BAG_FRACTION, 1 - place.BAG_FRACTION)))
    return float(np.hypot(MIXED_SD_K, GUESSED_SD_K * untold))


def mixed(scenario: Scenario, many: int) -> priors.Prior:
    """Members of the mix, with the other mixes of its batches beside it."""
    stands_for = scenario.batched.labelled or scenario.mixture
    prior = priors.draw(stands_for, many, water_factor=water_factor(scenario))
    others = tuple(
        priors.draw(one, many, water_factor=_left(one, max(scenario.added_water_cement, over)))
        for one, over in scenario.batched.others
    )
    return prior.with_others(others) if others else prior


def water_factor(scenario: Scenario) -> float:
    """Strength left after water over the label: litres in the whole piece, or the wettest batch."""
    added = max(scenario.added_water_cement, scenario.batched.over_water_cement)
    return _left(scenario.mixture, added)


def _left(mixture: Mixture, added_water_cement: float) -> float:
    if added_water_cement <= 0:
        return 1.0
    own = mixture.resolved().water_cement
    return float(strength.added_water_factor(own, added_water_cement))
