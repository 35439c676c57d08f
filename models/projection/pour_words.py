"""What the pour check says: the reason for every no, the hour of the float, haste, cold water."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from models.air.series import HOUR, AirSeries
from models.facts.cements import CLASSES
from models.facts.protection import WATER_MAX_C
from models.gates.place import COLD_AIR_C, as_placed_C, warm_water
from models.projection import hot, watch
from models.projection.answer import PourOption, Risk
from models.projection.clock import local
from models.projection.scenario import Scenario
from models.projection.starts import Starts
from models.projection.ways import BARE, under
from models.units import Array

HASTE_H = 1.0  # mixes that set later leave ample time, COMMON_PRACTICE


def go(scenario: Scenario, best: PourOption, cheaper: list[PourOption]) -> str:
    """Why it may be poured, and why not in a cheaper way: the one that comes nearest."""
    failed = f"{failure(_nearest(cheaper))}; " if cheaper else ""
    return f"Start {local(scenario, best.start)}: {failed}{passing(best)}."


def wait(scenario: Scenario, first: list[PourOption], later: PourOption | None) -> str:
    """What stands in the way of the best of the ways, and the first hour without it."""
    if later is None:
        then = "no hour of the forecast passes in any way you have: wait"
    else:
        at = local(scenario, later.start)
        then = f"first hour that passes: {at}, {under(later.protection)}"
    return f"{failure(_nearest(first), 'even ')}; {then}."


def _nearest(options: list[PourOption]) -> PourOption:
    """The way that comes nearest to passing; of equals the one that costs most."""
    return min(options, key=lambda o: (worst(o).probability, -o.effort))


def worst(option: PourOption) -> Risk:
    """The risk that stands out."""
    return max(option.risks, key=lambda r: r.probability)


def failure(option: PourOption, even: str = "") -> str:
    """The risk that stands out, with its number."""
    risk = worst(option)
    unit = risk.unit.replace("degC", "C")
    return (
        f"{even}{under(option.protection)}, {risk.probability:.0%} chance of {risk.risk}"
        f" ({risk.value:g} {unit}, limit {risk.limit:g})"
    )


def passing(option: PourOption) -> str:
    risk = worst(option)
    if risk.probability == 0:
        return f"{under(option.protection)} nothing stands against it"
    return f"{under(option.protection)} the largest risk is {risk.risk}, {risk.probability:.0%}"


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
    bare = next((o for o in first if o.protection == BARE), None)
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


def cold(scenario: Scenario, starts: Starts) -> list[str]:
    """What ACI 306R asks of the concrete when the air may fall under 5 degC; its warm water."""
    here, row = starts.here, starts.asked_row
    lowest = float(np.quantile(here.air_C[row : row + 48].min(axis=0), 0.1))
    if lowest >= COLD_AIR_C:
        return []
    wanted = as_placed_C(scenario.shape.section_mm)
    air_now = float(here.air_C[row].mean())
    told = scenario.placement.concrete_C
    stands = float(np.clip(air_now if told is None else told, -20, 60))
    if stands >= wanted:
        return []
    water, placed = warm_water(scenario.shape.section_mm, air_now, stands)
    text = (
        f"Cold weather (air down to {lowest:z.0f} C): ACI 306R asks for {wanted:.0f} C as placed"
        " and kept in a section this thin;"
    )
    if placed < wanted:
        return [f"{text} warm the bags too, water at {WATER_MAX_C:.0f} C gives {placed:.0f} C."]
    return [f"{text} with bags at {stands:z.0f} C that takes mixing water of {water:.0f} C."]
