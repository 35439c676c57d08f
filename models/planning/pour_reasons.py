"""Why a pour may start or not: all that forbids a way, the hour of the float, haste, cold water."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

import numpy as np

from models.air.series import HOUR, AirSeries
from models.facts.codes import CODES, OTHER, Code
from models.facts.fresh import HASTE_H, LABEL_C
from models.facts.protection import WATER_MAX_C
from models.instants import quarter
from models.message import Message, Sentence, Value
from models.planning import evaporation_control, watch
from models.planning.protection import BARE
from models.planning.starts import Starts
from models.quantile import quantiles
from models.results import PourOption, Risk
from models.simulation.scenario import Scenario
from models.steps.place import least_placed_C, warm_water
from models.units import Array

QUICKER_H = 12.0  # a mould that is free half a day sooner is worth a word, OWN_JUDGEMENT
QUANTITIES = {  # how the names of a value and its limit end, by the unit of a risk
    "degC": "C",
    "kg/m2h": "kg_m2h",
    "mm/h": "mm_h",
    "m/s": "m_s",
    "min": "min",
    "h": "h",
}


def by_harm(risks: Iterable[Risk]) -> tuple[Risk, ...]:
    """What forbids a pour first, the worse harm before the lesser; then the likelier."""

    def rank(risk: Risk) -> tuple[bool, float]:
        order = watch.HARM.index(risk.risk) if risk.forbids else -risk.probability
        return not risk.forbids, order

    return tuple(sorted(risks, key=rank))


def why_pour(best: PourOption, first: list[PourOption]) -> Sentence:
    """Why it may be poured, why not in a cheaper way, when it strips, and which way costs more and
    saves half a day.
    """
    cheaper = [o for o in first if o.effort < best.effort]
    parts = [failure(nearest(cheaper))] if cheaper else []
    parts += [passing(best), strips(best, first)]
    return (Message("pour_starts", {"at": best.start, "reasons": tuple(parts)}),)


def why_wait(
    first: list[PourOption],
    later: PourOption | None,
    at_once: PourOption | None,
) -> Sentence:
    """What stands in the way of the best of the ways, and the next hour without it."""
    then = [Message("no_hour_passes")]
    if later is not None:
        then = [Message("first_hour_passes", {"at": later.start, "way": under(later)})]
    elif at_once is not None:
        then = [Message("no_later_hour_passes")]
    if at_once is not None:
        then.append(Message("pour_now_passes", {"way": under(at_once)}))
    return (failure(nearest(first), even=True), *then)


def answer(option: PourOption) -> Message:
    """The answer that names a way: pour, pour with film, pour indoors."""
    bare = option.protection.code == BARE
    return Message("pour") if bare else Message("pour_under", {"way": under(option)})


def under(option: PourOption) -> Message:
    """Its way within a sentence: left bare, with film, indoors."""
    if option.protection.code == BARE:
        return Message("left_bare")
    if option.indoors:
        return option.protection
    return Message("with_way", {"way": option.protection})


def nearest(options: list[PourOption]) -> PourOption:
    """The way that comes nearest to passing; of equals the one that costs most.

    A mix too cold to place was not watched further, so it says nothing where another way was.
    """
    return min(options, key=lambda o: (o.frost_chance is None, o.excess, -o.effort))


def failure(option: PourOption, *, even: bool = False) -> Message:
    """All that forbids a way, in the order of harm, with its numbers."""
    forbidding = [chance(risk) for risk in option.risks if risk.forbids]
    values: dict[str, Value] = {
        "way": under(option),
        "risks": tuple(forbidding or [chance(option.risks[0])]),
    }
    return Message("even_way_fails" if even else "way_fails", values)


def chance(risk: Risk) -> Message:
    """The chance of a risk, with its value against its limit."""
    quantity = QUANTITIES[risk.unit]
    bounds = {f"value_{quantity}": risk.value, f"limit_{quantity}": risk.limit}
    return Message(f"risk_{quantity}", {"chance": risk.probability, "risk": risk.risk, **bounds})


def passing(option: PourOption) -> Message:
    return Message("way_passes", {"way": under(option), "risk": largest(option)})


def largest(option: PourOption) -> Message:
    """The largest risk of a way that passes."""
    risk = option.risks[0]
    if risk.probability == 0:
        return Message("nothing_against_it")
    return Message("largest_risk", {"risk": risk.risk, "chance": risk.probability})


def strips(best: PourOption, ways: list[PourOption]) -> Message:
    """When a way strips, and the cheapest of the others that does so half a day sooner."""
    for other in sorted(ways, key=lambda o: o.effort):
        if not other.passes or other.strip_p90 is None:
            continue
        if best.strip_p90 is None:
            return Message("strip_sure_only_in", {"way": under(other), "other_at": other.strip_p90})
        saved_h = (best.strip_p90 - other.strip_p90) / HOUR
        if saved_h >= QUICKER_H:
            return Message(
                "strip_sure_sooner_in",
                {"at": best.strip_p90, "way": under(other), "saved_h": saved_h},
            )
    if best.strip_p90 is None:
        return Message("strip_not_sure")
    return Message("strip_sure", {"at": best.strip_p90})


def float_cautions(
    scenario: Scenario, starts: Starts, float_row: Array
) -> list[tuple[Message, ...]]:
    """A caution for each start whose final float falls in the dark or outside the shop's hours.

    A lamp cures the dark, and a piece in a mould shows its other face: the hour is told, the pour
    is not refused. A face cast in place is (`watch.LATE`). float_row (starts,), rows of the air.
    """
    begin = starts.local.start
    out: list[tuple[Message, ...]] = []
    for row in float_row.tolist():
        if np.isnan(row):  # not looked at
            out.append(())
            continue
        if row >= len(starts.dark):
            out.append((Message("no_float_in_three_days"),))
            continue
        why = []
        if starts.dark[int(row)]:
            gone = starts.dusk_row[starts.dusk_row <= row].tolist()
            why = [Message("in_the_dark")]
            if gone:
                why = [Message("in_the_dark_after", {"dusk_at": quarter(begin + gone[-1] * HOUR)})]
        if starts.off_hours[int(row)]:
            opens, closes = (f"{at:%H:%M}" for at in scenario.rules.working_hours)
            why.append(Message("outside_hours", {"opens": opens, "closes": closes}))
        values: dict[str, Value] = {"at": quarter(begin + row * HOUR), "why": tuple(why)}
        out.append((Message("float_about", values),) if why else ())
    return out


def stiffening_cautions(scenario: Scenario, mix_C: Array) -> list[tuple[Message, ...]]:
    """A caution where mixing and placing takes longer than the mix stays workable, (starts,)."""
    takes_h = scenario.placement.placing_h
    if takes_h is None:
        return [()] * len(mix_C)
    takes_min = 60 * takes_h
    left = watch.working_min(scenario, mix_C).tolist()
    return [
        (Message("mix_stiffens", {"left_min": min_, "mix_C": C, "takes_min": takes_min}),)
        if min_ < takes_min
        else ()
        for min_, C in zip(left, mix_C.tolist(), strict=True)
    ]


def face_dries(
    scenario: Scenario, air: AirSeries, now: datetime, first: list[PourOption]
) -> list[Message]:
    """What each measure does where the bare face may dry too fast at the hour asked about."""
    bare = next((o for o in first if o.protection.code == BARE), None)
    rate = next((r for r in bare.risks if r.risk == watch.DRIES), None) if bare else None
    if bare is None or rate is None or not rate.forbids:
        return []
    placement = replace(scenario.placement, at=bare.start)
    pour = replace(scenario, placement=placement, coverings=(), done=())
    without = evaporation_control.rate(pour, air, now)  # what the measures are held against
    found = evaporation_control.effects(pour, air, now, without)
    if not found:
        return []
    values = {"rate_kg_m2h": without, "limit_kg_m2h": rate.limit}
    return [Message("bare_face_dries", {**values, "measures": evaporation_control.listed(found)})]


def rapid_mix(scenario: Scenario, starts: Starts) -> list[Message]:
    """How long a rapid mix can be placed at its temperature; ordinary ones leave ample time."""
    if scenario.resolved().mix.initial_set_h > HASTE_H:
        return []
    given_C = scenario.placement.concrete_C
    mix_C = float(starts.local.air_C[starts.requested_row].mean() if given_C is None else given_C)
    left, label = watch.working_min(scenario, np.array([mix_C, LABEL_C])).tolist()
    values = {"mix_C": mix_C, "left_min": left, "label_min": label, "label_C": LABEL_C}
    return [Message("rapid_mix", values)]


def assumed(scenario: Scenario) -> list[Message]:
    """What was not told of bags, water and mould, and what was taken instead."""
    placement, grounded = scenario.placement, scenario.on_ground
    missing = [
        part
        for part, given in (
            ("bags", placement.bag_C),
            ("water", placement.water_C if placement.concrete_C is None else 0.0),
            ("mould", 0.0 if grounded else placement.board_C),
        )
        if given is None
    ]
    taken = [Message("taken_as_the_air", {"part": tuple(missing)})] if missing else []
    if grounded and placement.board_C is None:
        taken.append(Message("ground_taken_as_three_days"))
    return [Message("taken_since_not_told", {"taken": tuple(taken)})] if taken else []


def frozen_base(first: list[PourOption]) -> list[Message]:
    """What has to be done before concrete may go on what is frozen."""
    frozen = [r for o in first for r in o.risks if r.risk in (watch.GROUND, watch.MOULD)]
    return [Message("nothing_on_ice")] if any(risk.forbids for risk in frozen) else []


def cold_weather(scenario: Scenario, starts: Starts, first: list[PourOption]) -> list[Message]:
    """What the code in force asks of concrete in cold weather, and the other where they differ; its
    warm water."""
    k = starts.at.index(first[0].start)
    local, row = starts.local, int(starts.rows[k])
    lowest = float(quantiles(local.air_C[row : row + 48].min(axis=0), (0.1,))[0])
    if lowest > scenario.code.cold_air_C:
        return []
    section_mm = scenario.shape.section_mm
    wanted = float(least_placed_C(scenario.code, section_mm, lowest))
    differ = codes_differ(scenario.code, section_mm, lowest)
    air_now = float(local.air_C[row].mean())
    if watch.as_it_comes_C(scenario, starts)[k] >= wanted:
        return [differ]
    stands = watch.bags_C(scenario, air_now)
    water, placed = warm_water(scenario.shape.section_mm, air_now, stands)
    values: dict[str, Value] = {"code": scenario.code.key, "lowest_C": lowest, "wanted_C": wanted}
    if placed < wanted:
        values |= {"water_C": WATER_MAX_C, "placed_C": float(placed)}
        return [Message("cold_weather_warm_bags", values), differ]
    values |= {"bags_C": stands, "water_C": float(water)}
    return [Message("cold_weather_warm_water", values), differ]


def codes_differ(code: Code, section_mm: float, lowest_C: float) -> Message:
    """Both families of rules beside each other: the least as placed, the strength before frost."""
    other = CODES[OTHER[code.key]]
    values: dict[str, Value] = {"code": code.key, "other": other.key}
    for prefix, one in (("", code), ("other_", other)):
        values[f"{prefix}least_C"] = float(least_placed_C(one, section_mm, lowest_C))
        values[f"{prefix}frost_MPa"] = one.frost_MPa
    return Message("codes_differ", values)
