"""What the pour check says: the reason for every no, the hour of the float, haste, cold water."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from models.air.series import HOUR, AirSeries
from models.facts.cements import CLASSES
from models.facts.protection import WATER_MAX_C
from models.projection import hot, physics, watch
from models.projection.clock import local
from models.projection.scenario import Scenario
from models.projection.starts import Starts
from models.projection.ways import BARE, under, words_of
from models.quantile import quantiles
from models.results import PourOption, Risk
from models.steps.place import COLD_AIR_C, as_placed_C, warm_water
from models.units import Array

QUICKER_H = 12.0  # a mould that is free half a day sooner is worth a word, OWN_JUDGEMENT
HASTE_H = 1.0  # mixes that set later leave ample time, COMMON_PRACTICE


def by_harm(risks: Iterable[Risk], allowed: float) -> tuple[Risk, ...]:
    """What forbids a pour first, the worse harm before the lesser; then the likelier."""

    def rank(risk: Risk) -> tuple[bool, float]:
        forbids = risk.probability > allowed + 1e-9
        return not forbids, watch.HARM.index(risk.risk) if forbids else -risk.probability

    return tuple(sorted(risks, key=rank))


def go(scenario: Scenario, best: PourOption, first: list[PourOption]) -> str:
    """Why it may be poured, why not in a cheaper way, when it strips, and which way costs more and
    saves half a day.
    """
    cheaper = [o for o in first if o.effort < best.effort]
    parts = [failure(scenario, nearest(cheaper))] if cheaper else []
    parts += [passing(best), strips(scenario, best, first)]
    return f"Start {local(scenario, best.start)}: {'; '.join(parts)}."


def wait(
    scenario: Scenario,
    first: list[PourOption],
    later: PourOption | None,
    at_once: PourOption | None,
) -> str:
    """What stands in the way of the best of the ways, and the next hour without it."""
    then = "no hour of the forecast passes in any way you have: wait"
    if later is not None:
        at = local(scenario, later.start)
        then = f"first hour that passes: {at}, {under(words_of(later.protection))}"
    elif at_once is not None:
        then = "no later hour of the forecast passes"
    if at_once is not None:
        then += f"; a pour now, {under(words_of(at_once.protection))}, passes"
    return f"{failure(scenario, nearest(first), 'even ')}; {then}."


def nearest(options: list[PourOption]) -> PourOption:
    """The way that comes nearest to passing; of equals the one that costs most.

    A mix too cold to place was not watched further, so it says nothing where another way was.
    """
    return min(options, key=lambda o: (o.frost_chance is None, o.excess, -o.effort))


def failure(scenario: Scenario, option: PourOption, even: str = "") -> str:
    """All that forbids a way, in the order of harm, with its numbers."""
    allowed = 1 - scenario.rules.confidence + 1e-9
    told = [chance(risk) for risk in option.risks if risk.probability > allowed]
    way = under(words_of(option.protection))
    return f"{even}{way}, {', '.join(told or [chance(option.risks[0])])}"


def chance(risk: Risk) -> str:
    """`34 % chance of evaporation (1.2 kg/m2h, limit 1)`."""
    unit = risk.unit.replace("degC", "C")
    return (
        f"{risk.probability:.0%} chance of {risk.risk} ({risk.value:g} {unit},"
        f" limit {risk.limit:g})"
    )


def passing(option: PourOption) -> str:
    risk = option.risks[0]
    if risk.probability == 0:
        return f"{under(words_of(option.protection))} nothing stands against it"
    way = under(words_of(option.protection))
    return f"{way} the largest risk is {risk.risk}, {risk.probability:.0%}"


def strips(scenario: Scenario, best: PourOption, ways: list[PourOption]) -> str:
    """When a way strips, and the cheapest of the others that does so half a day sooner."""
    told = "strip not sure within two weeks"
    if best.strip_p90 is not None:
        told = f"strip, sure, {local(scenario, best.strip_p90)}"
    for other in sorted(ways, key=lambda o: o.effort):
        if not other.passes or other.strip_p90 is None:
            continue
        if best.strip_p90 is None:
            return f"{told}, {under(words_of(other.protection))} {local(scenario, other.strip_p90)}"
        saved_h = (best.strip_p90 - other.strip_p90) / HOUR
        if saved_h >= QUICKER_H:
            return f"{told}, {under(words_of(other.protection))} {saved_h:.0f} h sooner"
    return told


def floats(scenario: Scenario, starts: Starts, float_row: Array) -> list[tuple[str, ...]]:
    """A caution for each start whose final float falls in the dark or outside the shop's hours.

    A lamp cures the dark, and a piece in a mould shows its other face: the hour is told, the pour
    is not refused. A face cast in place is (`watch.LATE`). float_row (starts,), rows of the air.
    """
    begin = starts.here.start
    out: list[tuple[str, ...]] = []
    for row in float_row.tolist():
        if np.isnan(row):  # not looked at
            out.append(())
            continue
        if row >= len(starts.dark):
            out.append(("no float within three days",))
            continue
        why = _dark(scenario, starts, row)
        if starts.off_hours[int(row)]:
            opens, closes = scenario.rules.working_hours
            why.append(f"outside {opens:%H:%M} to {closes:%H:%M}")
        at = local(scenario, _quarter(begin + row * HOUR))
        out.append((f"float about {at}, {', '.join(why)}",) if why else ())
    return out


def _dark(scenario: Scenario, starts: Starts, row: float) -> list[str]:
    if not starts.dark[int(row)]:
        return []
    gone = starts.dusk_row[starts.dusk_row <= row]
    if not len(gone):
        return ["in the dark"]
    dusk = _quarter(starts.here.start + float(gone[-1]) * HOUR)
    return [f"in the dark (dusk {local(scenario, dusk)[-5:]})"]


def _quarter(at: datetime) -> datetime:
    """The quarter of an hour at or before: a likely hour is not told to the minute."""
    return at - timedelta(minutes=at.minute % 15, seconds=at.second, microseconds=at.microsecond)


def stiffens(scenario: Scenario, mix_C: Array) -> list[tuple[str, ...]]:
    """A caution where mixing and placing takes longer than the mix stays workable, (starts,)."""
    takes_h = scenario.placement.placing_h
    if takes_h is None:
        return [()] * len(mix_C)
    return [
        (
            f"about {left:.0f} min before a mix at {mix_C[k]:.0f} C stiffens, placing takes"
            f" {60 * takes_h:.0f}: a second mixer, cool bags and water, or a planned joint; add no"
            " water to loosen it",
        )
        if left < 60 * takes_h
        else ()
        for k, left in enumerate(watch.working_min(scenario, mix_C))
    ]


def drying(scenario: Scenario, air: AirSeries, now: datetime, first: list[PourOption]) -> list[str]:
    """What each measure does where the bare face may dry too fast at the hour asked about."""
    allowed = 1 - scenario.rules.confidence
    bare = next((o for o in first if words_of(o.protection) == BARE), None)
    rate = next((r for r in bare.risks if r.risk == watch.DRIES), None) if bare else None
    if bare is None or rate is None or rate.probability <= allowed:
        return []
    placement = replace(scenario.placement, at=bare.start)
    told = hot.effects(replace(scenario, placement=placement, guards=(), done=()), air, now)
    listed = ", ".join(f"{e.words} {e.rate_kg_m2h:.2f}" for e in told)
    return [
        f"The bare face may lose {rate.value:.2f} kg/m2h, limit {rate.limit:g}. By what it costs:"
        f" {listed}."
    ]


def haste(scenario: Scenario, starts: Starts) -> list[str]:
    """How long a rapid mix can be placed at its temperature; ordinary ones leave ample time."""
    kind = CLASSES[scenario.mixture.kind]
    if (scenario.mixture.initial_set_h or kind.initial_set_h) > HASTE_H:
        return []
    told = scenario.placement.concrete_C
    mix_C = float(starts.here.air_C[starts.asked_row].mean() if told is None else told)
    left, label = watch.working_min(scenario, np.array([mix_C, 21.0])).tolist()
    return [
        f"Rapid mix at {mix_C:z.0f} C: about {left:.0f} min to place it, {label:.0f} at 21 C;"
        " mix no more than goes in within that, cool bags and water, add none to loosen it."
    ]


def assumed(scenario: Scenario) -> list[str]:
    """What was not told of bags, water and mould, and what was taken instead."""
    placement, grounded = scenario.placement, physics.on_ground(scenario)
    untold = [
        words
        for words, told in (
            ("bags", placement.bag_C),
            ("water", placement.water_C if placement.concrete_C is None else 0.0),
            ("mould", 0.0 if grounded else placement.board_C),
        )
        if told is None
    ]
    parts = [f"{', '.join(untold)} as warm as the air at the place"] if untold else []
    if grounded and placement.board_C is None:
        parts.append("the ground as the mean air of three days")
    if not parts:
        return []
    return [f"Taken, since not told: {'; '.join(parts)}. Give what you measure where it differs."]


def frozen_base(scenario: Scenario, first: list[PourOption]) -> list[str]:
    """What has to be done before concrete may go on what is frozen."""
    allowed = 1 - scenario.rules.confidence + 1e-9
    frozen = [r for o in first for r in o.risks if r.risk in (watch.GROUND, watch.MOULD)]
    if all(risk.probability <= allowed for risk in frozen):
        return []
    return [
        "No concrete on frozen ground, in a frozen mould or about frozen steel (ACI 306.1): brush"
        " snow and ice off, thaw and warm it through over 0 C, under blankets or in a room, and"
        " measure it before you pour. Frozen ground sinks when it thaws, and cold steel or board"
        " freezes what touches it."
    ]


def cold(scenario: Scenario, starts: Starts, first: list[PourOption]) -> list[str]:
    """What ACI 306R asks of the concrete when the air may fall under 5 degC; its warm water."""
    k = starts.at.index(first[0].start)
    here, row = starts.here, int(starts.rows[k])
    lowest = float(quantiles(here.air_C[row : row + 48].min(axis=0), (0.1,))[0])
    if lowest >= COLD_AIR_C:
        return []
    wanted = as_placed_C(scenario.shape.section_mm)
    air_now = float(here.air_C[row].mean())
    if watch.as_it_comes_C(scenario, starts)[k] >= wanted:
        return []
    stands = watch.bags_C(scenario, air_now)
    water, placed = warm_water(scenario.shape.section_mm, air_now, stands)
    text = (
        f"Cold weather (air down to {lowest:z.0f} C): ACI 306R asks for {wanted:.0f} C as placed"
        " and kept in a section this thin;"
    )
    if placed < wanted:
        return [f"{text} warm the bags too, water at {WATER_MAX_C:.0f} C gives {placed:.0f} C."]
    return [f"{text} with bags at {stands:z.0f} C that takes mixing water of {water:.0f} C."]
