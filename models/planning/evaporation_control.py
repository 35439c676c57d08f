"""Against drying in the first hours: what each measure would do, computed, in order of cost."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models.air import evaporation, psychrometrics
from models.air.series import HOUR, AirSeries
from models.concrete import setting
from models.errors import Unknown
from models.facts.fresh import DRY_PER_WATER, FOLLOWS_AIR
from models.facts.measures import COLD_WATER_C, MEASURED_H, MEASURES
from models.message import Message
from models.simulation.fresh_face import evaporation_limit
from models.simulation.physics import simulate
from models.simulation.scenario import CONCRETE_C, Scenario

SIMULATED_H = 12
COOLEST_WITHIN_H = 24
COLD_WITHIN_H = 48  # OWN_JUDGEMENT

Changed = tuple[tuple[Message, Scenario], ...]  # a measure and its pour, or nothing


@dataclass(frozen=True)
class Effect:
    """Worst evaporation of the bare hours with a measure, at 90 % [kg/m2h]."""

    measure: Message
    rate_kg_m2h: float


def effects(
    scenario: Scenario, air: AirSeries, now: datetime, rate_kg_m2h: float = np.inf
) -> tuple[Effect, ...]:
    """Shade, wind break, fog, a cooler hour, cold water, and the first three together: those that
    bring it under the rate that it has without.

    What can still be done: the hour and the water of a pour that is in are past.
    """
    now_h = scenario.hour(now)
    if now_h >= MEASURED_H or in_cold_weather(scenario, air):
        return ()
    taken = scenario.placement.measures
    tried = [
        (Message("measure", {"measure": name}), _with(scenario, (*taken, name)))
        for name in MEASURES
        if name not in taken
    ]
    if now_h < 0.5:
        tried += [*_cooler_hour(scenario, air, now), *_cold_water(scenario, air)]
    if not taken:
        tried.append((Message("measures_all"), _with(scenario, tuple(MEASURES))))
    rates = [(measure, rate(changed, air, now)) for measure, changed in tried]
    return tuple(Effect(measure, rate) for measure, rate in rates if rate < rate_kg_m2h)


def in_cold_weather(scenario: Scenario, air: AirSeries) -> bool:
    """Whether the rules of cold weather hold after placing: there the face is kept warm under a
    cover, and shade, fog, ice water or the coldest hour would be advice against it."""
    begin = max(int(air.hour_of(scenario.placement.at)), 0)
    ahead = air.air_C[begin : begin + COLD_WITHIN_H]
    return bool(np.nanmin(ahead, initial=np.inf) <= scenario.code.cold_air_C)


def advice(scenario: Scenario, air: AirSeries, now: datetime, rate_kg_m2h: float) -> Message | None:
    """What each measure does; None where nothing has to be done or can be."""
    limit = evaporation_limit(scenario)
    if rate_kg_m2h <= limit:
        return None
    measures = listed(effects(scenario, air, now, rate_kg_m2h))
    if not measures:
        return None
    return Message("measures_by_cost", {"limit_kg_m2h": limit, "measures": measures})


def listed(found: Iterable[Effect]) -> tuple[Message, ...]:
    """Each measure with the evaporation it leaves."""
    return tuple(
        Message("measure_leaves", {"measure": e.measure, "rate_kg_m2h": e.rate_kg_m2h})
        for e in found
    )


def _with(scenario: Scenario, measures: tuple[str, ...]) -> Scenario:
    return replace(scenario, placement=replace(scenario.placement, measures=measures))


def rate(scenario: Scenario, air: AirSeries, now: datetime) -> float:
    """Worst evaporation of the bare hours, at 90 % [kg/m2h]; infinite without weather."""
    simulation = simulate(scenario, air, now, SIMULATED_H)
    return np.inf if isinstance(simulation, Unknown) else simulation.evaporation_kg_m2h


def _cooler_hour(scenario: Scenario, air: AirSeries, now: datetime) -> Changed:
    """The same pour at the hour of the coming day at which it dries least."""
    begin = max(int(np.ceil(air.hour_of(max(now, scenario.placement.at)))), 0)
    rows = np.arange(begin, max(min(begin + COOLEST_WITHIN_H, air.hours - MEASURED_H), begin + 1))
    window = np.minimum(rows[:, None] + np.arange(4), air.hours - 1)
    known = np.isfinite(air.air_C[window]) & np.isfinite(air.dew_point_C[window])
    warm = np.where(known, air.air_C[window], 60.0)
    rates = evaporation.evaporation_rate(
        concrete_C=warm[:, :1],
        air_C=warm,
        rh_fraction=psychrometrics.rh_fraction(
            warm, np.where(known, np.minimum(air.dew_point_C[window], warm), 0.0)
        ),
        wind_km_h=3.6 * np.nan_to_num(air.wind_m_s[window], nan=2.0),
    )
    rates = np.where(known, rates, np.inf)  # an hour without weather is never the better one
    at = air.start + int(rows[np.argmin(rates.max(axis=1))]) * HOUR
    given_C = scenario.placement.concrete_C
    moved = scenario.placement.at
    cooler = None
    if given_C is not None:
        cooler = given_C + FOLLOWS_AIR * (_air_at(air, at) - _air_at(air, moved))
    return _placed(scenario, Message("start_at", {"at": at}), at, cooler)


def _cold_water(scenario: Scenario, air: AirSeries) -> Changed:
    """The same pour with mixing water off ice; bags as told, else as warm as the mix or the air."""
    placement = scenario.placement
    known = (placement.bag_C, placement.concrete_C, _air_at(air, placement.at))
    bags = next(value_C for value_C in known if value_C is not None)
    mixed = setting.mix_temperature(
        dry_kg=DRY_PER_WATER,
        dry_C=bags,
        water_kg=1.0,
        water_C=COLD_WATER_C,
    )
    measure = Message("cold_water", {"water_C": COLD_WATER_C, "mix_C": float(mixed)})
    return _placed(scenario, measure, placement.at, float(mixed))


def _placed(
    scenario: Scenario, measure: Message, at: datetime, concrete_C: float | None
) -> Changed:
    """A measure and its pour; nothing where no concrete is as warm as it would be [degC]."""
    if concrete_C is not None and not CONCRETE_C[0] <= concrete_C <= CONCRETE_C[1]:
        return ()
    placement = replace(scenario.placement, at=at, concrete_C=concrete_C)
    return ((measure, replace(scenario, placement=placement)),)


def _air_at(air: AirSeries, at: datetime) -> float:
    row = int(np.clip(round(air.hour_of(at)), 0, air.hours - 1))
    return float(np.nan_to_num(air.air_C[row], nan=20.0))
