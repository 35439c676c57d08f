"""One way to pour over all starts in one sweep: the risks of each, and what the float meets."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models.air import evaporation
from models.air.series import HOUR
from models.concrete import heat, setting
from models.concrete import prior as priors
from models.draws import Draws
from models.facts.air import WET_MM_H
from models.facts.fresh import FOLLOWS_AIR, PLACED_C
from models.facts.frost import FREEZING_POINT_C, FROST_NEAR_C, SOAKED_MPA
from models.facts.instruments import MEASURED_SD_K
from models.facts.protection import (
    BASE_LEAST_C,
    COVERS,
    PLACING_MAX_C,
)
from models.planning import abreast, heated_before
from models.planning.protection import TENT, ProtectionOption
from models.planning.starts import WATCH_H, WATCH_ROWS, Starts
from models.simulation import fresh_face
from models.simulation import placed as placed_mix
from models.simulation.scenario import Scenario
from models.steps import place as placing
from models.steps.opening import P90, level
from models.steps.seal import ROUNDING
from models.units import Array, Mask

MARGIN_SDS = 2.0  # so far over the least a mix is warm enough without a kettle
FROST, COLD, HOT, DRIES, RAIN = "freezes", "too_cold", "too_hot", "dries", "rain"
GROUND, MOULD, WIND, LATE, STIFF = "frozen_ground", "frozen_mould", "wind", "late", "stiff"
# what forbids a pour, the worse harm first: a piece lost, one cold, a spoilt face, a late hour
HARM = (FROST, GROUND, MOULD, STIFF, COLD, HOT, RAIN, DRIES, WIND, LATE)
LOST = (FROST, GROUND, MOULD, STIFF)  # what costs the piece: allowed in 1 of 20


def allowed(risk: str, confidence: float) -> float:
    """Chance of a risk that a pour may run, 0 to 1: by its harm, the shop's own for the lesser.

    A piece that froze keeps half its strength, and a cold joint parts: both are the piece lost.

    Source: OWN_JUDGEMENT.
    """
    return 1 - level("piece" if risk in LOST else "blemish", confidence) + ROUNDING


@dataclass(frozen=True)
class StartRisk:
    """One risk of one option: (starts,) chance, telling value and limit, with the unit."""

    chance: Array
    value: Array
    limit: Array
    unit: str

    def spread(self, watched: Mask) -> "StartRisk":
        """Over all starts, NaN where none was watched."""
        chance, value, limit = (_spread(v, watched) for v in (self.chance, self.value, self.limit))
        return StartRisk(chance, value, limit, self.unit)


@dataclass(frozen=True)
class OptionRisks:
    """What one option meets, (starts,) throughout; NaN where it was not watched.

    risks by name; placed_C, water_C most likely as placed and the mixing water if warmed [degC];
    float_row the likely final float in rows of the air, infinite where not within the watch;
    offered whether it is an option of its own at that start (warm water only where it is cold, a
    tent heated before only where there is time for it, and one after placing where there is not)
    base_C the mould or the ground that it meets, most likely [degC]; before_h hours of heat [h]
    """

    option: ProtectionOption
    starts: Starts
    risks: dict[str, StartRisk]
    placed_C: Array
    water_C: Array
    float_row: Array
    offered: Mask
    base_C: Array
    before_h: Array

    def passes(self, confidence: float) -> Mask:
        """(starts,) whether no risk is likelier than what may be run of it."""
        return np.asarray(self.excess(confidence) == 0)

    def excess(self, confidence: float) -> Array:
        """(starts,) how far it is from passing: chance over what is allowed, of all risks."""
        over = [
            np.maximum(risk.chance - allowed(name, confidence), 0.0)
            for name, risk in self.risks.items()
        ]
        far: Array = np.nansum(over, axis=0)
        return far


def watch(
    scenario: Scenario,
    option: ProtectionOption,
    starts: Starts,
    prior: priors.Prior,
    now: datetime,
) -> OptionRisks:
    """All starts under one option: starts x members side by side.

    prior : (members,), the mix; now : when heat may begin at the soonest

    A mix too cold to place is not watched further, its twin with warm water is.
    """
    placed_C, water_C = as_it_comes_C(scenario, starts), np.full(starts.count, np.nan)
    offered = np.ones(starts.count, dtype=bool)
    if option.warm_water:
        placed_C, water_C = _warmed(scenario, starts, placed_C)
        offered = np.isfinite(water_C)
    before_h = np.full(starts.count, np.nan)
    if any(covering.kind == TENT for covering in option.coverings):
        ahead_h = np.array([(at - now) / HOUR for at in starts.at])
        warmth = heated_before.heated(scenario, option, starts, ahead_h)
        offered = offered & (warmth.in_time == option.heated_before)
        if option.heated_before:
            starts, before_h = warmth.starts(starts), warmth.before_h
    sd = MEASURED_SD_K if option.warm_water else placed_mix.doubt_K(scenario)
    z = Draws(starts.members).normal("placed")
    placed = np.clip(starts.every(placed_C) + sd * starts.each(z), *PLACED_C)
    cold = _too_cold(scenario, starts, placed)
    watched = offered & (
        option.warm_water | (cold.chance <= allowed(COLD, scenario.rules.confidence))
    )
    base, base_C = GROUND if scenario.on_ground else MOULD, starts.base_C
    # no concrete goes on frozen ground, into a frozen mould or about frozen steel
    icy = _risk(starts, base_C <= BASE_LEAST_C, base_C, 0.1, BASE_LEAST_C, "degC")
    risks = {base: icy, COLD: cold}
    float_row = np.full(starts.count, np.nan)
    if watched.any():
        swept, float_row = _watched(
            scenario,
            option,
            starts.only(watched),
            prior,
            placed[np.repeat(watched, starts.members)],
        )
        risks |= {name: risk.spread(watched) for name, risk in swept.items()}
        float_row = _spread(float_row, watched)
    likely_C = np.clip(placed_C, *PLACED_C)
    return OptionRisks(
        option,
        starts,
        risks,
        likely_C,
        water_C,
        float_row,
        offered,
        starts.mean(base_C),
        before_h,
    )


def _spread(values: Array, watched: Mask) -> Array:
    out: Array = np.full(len(watched), np.nan)
    out[watched] = values
    return out


def as_it_comes_C(scenario: Scenario, starts: Starts) -> Array:
    """Concrete as placed with water as it comes, at each start [degC], (starts,).

    The told temperature belongs to the hour asked about; at others it follows the air by a third.
    """
    air = starts.local.air_C.mean(axis=1)
    given_C = scenario.placement.concrete_C
    if given_C is None:
        return np.asarray(placed_mix.as_mixed(scenario, air[starts.rows]))
    moved: Array = given_C + FOLLOWS_AIR * (air[starts.rows] - air[starts.requested_row])
    return moved


def bags_C(scenario: Scenario, air_C: float) -> float:
    """Bags as they stand [degC]: as told; else as the air, or as a colder concrete [degC].

    What was told of the concrete tells nothing of the bags: they may have met warm water.
    """
    placement = scenario.placement
    if placement.bag_C is not None:
        return placement.bag_C
    given_C = air_C if placement.concrete_C is None else min(air_C, placement.concrete_C)
    return float(np.clip(given_C, -20.0, 60.0))


def working_min(scenario: Scenario, mix_C: Array) -> Array:
    """How long the mix can be placed at its temperature [min], any shape of [degC]."""
    return setting.working_time_min(
        mix_C,
        label_min=max(60 * scenario.resolved().mix.working_time_h, 1.0),
        label_C=scenario.mixture.working_time_C,
    )


def _warmed(scenario: Scenario, starts: Starts, base_C: Array) -> tuple[Array, Array]:
    """Concrete as placed and water where the code asks for warmth [degC], (starts,) each."""
    placed, water = base_C.copy(), np.full(starts.count, np.nan)
    section = scenario.shape.section_mm
    least_C = placing.as_placed_C(section)  # a kettle helps against frost whatever the code asks
    ample_C = least_C + MARGIN_SDS * placed_mix.doubt_K(scenario)
    short = _cold_weather(scenario, starts) & (base_C < ample_C)
    air = starts.local.air_C[starts.rows].mean(axis=1)
    for k in np.flatnonzero(short):
        warm_C, got_C = placing.warm_water(section, air[k], bags_C(scenario, air[k]))
        if got_C > min(base_C[k], least_C + MARGIN_SDS * MEASURED_SD_K):
            water[k], placed[k] = warm_C, got_C
    return placed, water


def _cold_weather(scenario: Scenario, starts: Starts) -> Mask:
    """Whether cold weather is expected while it is protected, by the code in force, (starts,)."""
    falls = starts.fraction(starts.air_C.min(axis=0) <= scenario.code.cold_air_C)
    return np.asarray(falls > 1 - scenario.rules.confidence)


def _risk(
    starts: Starts, bad: Mask, values: Array, fraction: float, limit: float | Array, unit: str
) -> StartRisk:
    """Chance of what is bad, (wide,), with a quantile of its values, (wide,), against its limit."""
    limits = np.broadcast_to(limit, starts.count)
    return StartRisk(starts.fraction(bad), starts.quantile(values, fraction), limits, unit)


def _too_cold(scenario: Scenario, starts: Starts, placed: Array) -> StartRisk:
    """Under the least of the code in the air of each member: cold weather is a chance as well, so
    that half a kelvin of forecast moves it by little. The limit told is that of the colder tenth.
    """
    code, section_mm = scenario.code, scenario.shape.section_mm
    lowest = starts.air_C.min(axis=0)
    bad = placed < placing.least_placed_C(code, section_mm, lowest)
    told = placing.least_placed_C(code, section_mm, starts.quantile(lowest, 0.1))
    return _risk(starts, bad, placed, 0.1, told, "degC")


def _watched(
    scenario: Scenario, option: ProtectionOption, starts: Starts, prior: priors.Prior, placed: Array
) -> tuple[dict[str, StartRisk], Array]:
    """The risks from placing on, and the row of the final float, (starts,)."""
    plan = replace(scenario, coverings=option.coverings, done=())
    many = starts.prior(prior)
    swept = abreast.swept(plan, starts, many, placed)
    simulation, soaked_h = swept.histories, swept.soaked_h
    dry_MPa = scenario.code.frost_MPa
    wet = np.isfinite(soaked_h) & (starts.air_C.min(axis=0) <= FROST_NEAR_C)
    bears_h = np.where(wet, many.age_at(max(dry_MPa, SOAKED_MPA)), many.age_at(dry_MPa))
    strong_row = _first_row(simulation.te_cold_h, bears_h)
    initial_row = _first_row(simulation.te_mean_h, many.initial_set_h)
    set_row = _first_row(simulation.te_mean_h, many.final_set_h)
    cold_later = starts.air_C.min(axis=0) <= scenario.code.cold_air_C
    until = np.where(cold_later, np.maximum(strong_row, set_row), set_row)
    risks = {
        FROST: _freezes(starts, swept, strong_row),
        HOT: _risk(starts, placed > PLACING_MAX_C, placed, _told_at(plan), PLACING_MAX_C, "degC"),
        DRIES: _dries(plan, starts, simulation, initial_row),
        RAIN: _rains(option, starts, set_row),
        **_blows(option, starts, until),
        **_stiffens(scenario, starts, placed),
    }
    if scenario.on_ground:
        risks[LATE] = _late(starts, initial_row)
    floats = _crossing(simulation.te_mean_h, many.initial_set_h, initial_row)
    return risks, starts.rows + _middle(floats.reshape(starts.count, starts.members))


def _freezes(starts: Starts, swept: abreast.Swept, strong_row: Array) -> StartRisk:
    """Ice while it is young."""
    simulation = swept.histories
    young = np.arange(len(simulation.coldest_C))[:, None] < strong_row
    lowest = np.where(young, simulation.coldest_C, np.inf).min(axis=0)
    limits = np.full(starts.count, FREEZING_POINT_C)
    return StartRisk(starts.mean(swept.harm), starts.quantile(lowest, 0.1), limits, "degC")


def _middle(values: Array) -> Array:
    """Mean of the two middle members of each start, (starts,); infinite where one of them is."""
    half = values.shape[1] // 2
    middle: Array = np.partition(values, (half - 1, half), axis=1)[:, half - 1 : half + 1].mean(1)
    return middle


def _first_row(values: Array, need: Array) -> Array:
    """First row that reaches a need, (wide,); one past the end where none does."""
    reached = values >= need
    return np.where(reached.any(axis=0), np.argmax(reached, axis=0), len(values))


def _crossing(values: Array, need: Array, row: Array) -> Array:
    """Rows, not whole, at which a need is reached, (wide,); infinite where it is not."""
    last = len(values) - 1
    after = np.minimum(np.maximum(row, 1), last)
    column = np.arange(values.shape[1])
    low, high = values[after - 1, column], values[after, column]
    at = after - 1 + np.clip((need - low) / np.maximum(high - low, 1e-9), 0.0, 1.0)
    return np.where(row <= last, at, np.inf)


def _dries(
    plan: Scenario, starts: Starts, simulation: heat.Histories, initial_row: Array
) -> StartRisk:
    worst = fresh_face.worst_evaporation(
        fresh_face.bare_rows(plan, initial_row - 1.0),
        simulation,
        starts.air_C,
        starts.rh,
        starts.wind_m_s,
    ) * starts.each(evaporation.formula_doubt(starts.members))
    limit = fresh_face.evaporation_limit(plan)
    return _risk(starts, worst > limit, worst, _told_at(plan), limit, "kg/m2h")


def _told_at(plan: Scenario) -> float:
    """Quantile at which a value is told, so that one which forbids lies over its limit."""
    return max(P90, plan.rules.confidence)


def _rains(option: ProtectionOption, starts: Starts, set_row: Array) -> StartRisk:
    """Rain on the open face until the final set; under a roofing cover only until it is on."""
    sheds = any(COVERS[covering.kind].sheds_rain for covering in option.coverings)
    lies_h = 0.0 if option.heated_before else 1.0  # a tent that stands before sheds all of it
    until = np.full_like(set_row, lies_h) if sheds else np.maximum(set_row, 1)
    wet = np.where(np.arange(WATCH_ROWS)[:, None] < until, starts.rain_mm, 0.0).max(axis=0)
    limit = WET_MM_H
    return _risk(starts, wet > limit, wet, 0.9, limit, "mm/h")


def _blows(option: ProtectionOption, starts: Starts, until: Array) -> dict[str, StartRisk]:
    """Wind over what the cover stands, while it is needed."""
    if not option.coverings:
        return {}
    limit = min(COVERS[covering.kind].wind_m_s for covering in option.coverings)
    needed = np.arange(WATCH_ROWS)[:, None] < np.maximum(until, 1)
    strongest = np.where(needed, starts.wind_m_s, 0.0).max(axis=0)
    return {WIND: _risk(starts, strongest > limit, strongest, 0.9, limit, "m/s")}


def _stiffens(scenario: Scenario, starts: Starts, placed: Array) -> dict[str, StartRisk]:
    """Working time at the mix temperature against half of what placing takes: a second mixer, or a
    planned joint, halves it; where even that is too long a cold joint is certain. OWN_JUDGEMENT.
    """
    if scenario.placement.placing_h is None:
        return {}
    least = 0.5 * 60 * scenario.placement.placing_h
    left = working_min(scenario, placed)
    return {STIFF: _risk(starts, left < least, left, 0.5, least, "min")}


def _late(starts: Starts, initial_row: Array) -> StartRisk:
    """A face cast in place shows its float: it has to be done within the shop's hours."""
    last = len(starts.off_hours) - 1
    at = np.minimum(starts.every(starts.rows) + initial_row, last).astype(int)
    shuts = [np.argmax(np.append(starts.off_hours[row:], True)) for row in starts.rows]
    late = starts.off_hours[at] | (initial_row > WATCH_H)
    return _risk(starts, late, initial_row, 0.5, np.array(shuts, dtype=np.float64), "h")
