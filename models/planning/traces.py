"""The numbers that the log of a pour holds of what may have gone wrong with it.

By cause, a key of facts.faults.TRACES. Only what came before a fault was seen counts. A cause of
which the log holds nothing, as a strip that nobody marked, has no entry.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np

from models.air.series import AirSeries
from models.errors import Unknown
from models.facts.air import WET_MM_H
from models.facts.blemishes import EFFLORESCES_C, EFFLORESCES_FOR_D, SUGARY_BOARDS
from models.facts.cements import CLASSES
from models.facts.faults import COLD_C, NIGHT_H, YOUNG_H
from models.facts.fresh import BLEED_END_FRACTION, NO_BLEED_FRACTION
from models.message import Value
from models.planning.coat_traces import of_coats
from models.planning.found import Found
from models.simulation import cases, drying
from models.simulation.fresh_face import bare_rows, evaporation_limit, told_h, worst_evaporation
from models.simulation.in_force import schedule
from models.simulation.physics import Simulation, simulate
from models.simulation.scenario import Scenario
from models.steps import cure, protect, strip, turn
from models.steps.opening import Trajectory
from models.units import Array, Mask

LONGEST_H = 90 * 24  # a fault that is seen later is judged by the first 90 days
KEEPS_OFF = ("film", "wet cover")  # what lies on the face itself


def traces(
    scenario: Scenario,
    air: AirSeries | Unknown,
    now: datetime,
    seen_at: datetime,
    came_out: str | None = None,
) -> dict[str, Found] | Unknown:
    """What the log holds of each cause until a fault was seen; Unknown without weather.

    came_out : how it came out of its mould, a word of records.step
    """
    if isinstance(air, Unknown):
        return air
    scenario = replace(scenario.without_wrong_readings(), plan=())
    until_h = float(np.clip(scenario.hour(min(seen_at, now)), 1.0, LONGEST_H))
    simulation = simulate(scenario, air, now, int(np.ceil(until_h)) + int(NIGHT_H))
    if isinstance(simulation, Unknown):
        return simulation
    if simulation.no_moisture is None:
        simulation = drying.settled(scenario, simulation, until_h)
    look = _Look(scenario, simulation, until_h)
    found = dict(look.fresh()) | dict(look.young()) | dict(look.worked())
    found |= of_coats(scenario, simulation, until_h)
    if "strip" in look.done and came_out is not None:
        found["stuck"] = Found(float(came_out == "stuck"), {"came_out": came_out})
    return found


@dataclass(frozen=True)
class _Look:
    """A pour as it went, until a fault was seen [h from placing]."""

    scenario: Scenario
    simulation: Simulation
    until_h: float
    done: Mapping[str, float] = field(init=False)

    def __post_init__(self) -> None:
        done = {k: h for k, h in self.scenario.done_h.items() if h <= self.until_h}
        object.__setattr__(self, "done", done)

    @property
    def trajectory(self) -> Trajectory:
        return self.simulation.trajectory

    def middle(self, values: Array) -> float:
        return self.trajectory.quantile(values, 0.5)

    def rows(self, begin_h: float, end_h: float) -> Mask:
        """The rows of some hours, of those before the fault was seen; the first at the least."""
        hour = self.trajectory.hour
        some: Mask = (hour >= begin_h) & (hour <= min(end_h, self.until_h))
        return some if some.any() else hour <= hour[0]

    def fresh(self) -> Iterator[tuple[str, Found]]:
        """Of the hours until it had set."""
        scenario, trajectory = self.scenario, self.trajectory
        initial_h = trajectory.first(trajectory.te_mean_h, trajectory.initial_set_h)
        set_h = np.minimum(
            trajectory.first(trajectory.te_mean_h, trajectory.final_set_h), self.until_h
        )
        rate = self.middle(
            worst_evaporation(
                bare_rows(scenario, np.minimum(initial_h, self.until_h)),
                trajectory,
                trajectory.air_C,
                trajectory.rh,
                trajectory.wind_m_s,
            )
        )
        limit = evaporation_limit(scenario)
        told: dict[str, Value] = {"rate_kg_m2h": rate, "limit_kg_m2h": limit}
        yield "dried-fast", Found(rate / limit, told)

        bare = trajectory.hour[:, None] < np.minimum(set_h, told_h(scenario))
        rain_mm = self.middle((trajectory.rain_mm * bare).sum(axis=0))
        yield "rained-on", Found(rain_mm, {"rain_mm": rain_mm})

        added = scenario.added_water_cement / scenario.resolved().mix.water_cement
        water: dict[str, Value] = {
            "more_pct": 100 * added,
            "water_l": scenario.placement.water_added_l,
        }
        yield "too-wet", Found(added, water)
        sugary = scenario.mould.material in SUGARY_BOARDS
        yield "raw-wood", Found(float(sugary), {"board": scenario.mould.material})
        if "finish" in self.done:
            bleeds = CLASSES[scenario.mixture.kind].bleeds
            share = BLEED_END_FRACTION if bleeds else NO_BLEED_FRACTION
            age_h = trajectory.at(trajectory.te_mean_h, self.done["finish"])
            part = self.middle(age_h / (share * trajectory.initial_set_h))
            worked: dict[str, Value] = {"part_pct": 100 * part, "at": self.at("finish")}
            yield "worked-early", Found(part, worked)

    def young(self) -> Iterator[tuple[str, Found]]:
        """Of the first nights and days."""
        trajectory = self.trajectory
        night = self.rows(0.0, NIGHT_H)
        low_C = self.middle(trajectory.coldest_C[night].min(axis=0))
        yield "first-night", Found(low_C, {"low_C": low_C})
        cold_h = self.middle((trajectory.mean_C[self.rows(0.0, YOUNG_H)] < COLD_C).sum(axis=0))
        hours: dict[str, Value] = {"cold_h": cold_h, "under_C": COLD_C, "of_h": YOUNG_H}
        yield "cold-hours", Found(cold_h, hours)
        chance = self.simulation.frozen_by(self.until_h)
        yield "froze", Found(chance, {"chance": chance})
        yield from self._damp()
        yield from self._film()
        yield from self._dried()

    def _damp(self) -> Iterator[tuple[str, Found]]:
        """Hours at which the young bare face was cold, and wet by rain or dew."""
        trajectory = self.trajectory
        hour = trajectory.hour
        in_force = schedule(self.scenario, None, self.simulation.plan)
        row = np.searchsorted(in_force.from_h, hour, side="right") - 1
        first = self.rows(0.0, 24 * EFFLORESCES_FOR_D)
        bare = (in_force.R_top[row] == 0) & first
        wet = (trajectory.rain_mm > WET_MM_H) | (trajectory.top_C <= trajectory.dew_point_C)
        damp = wet & (trajectory.top_C < EFFLORESCES_C) & bare[:, None]
        damp_h = self.middle(damp.sum(axis=0).astype(float))
        values: dict[str, Value] = {"damp_h": damp_h, "under_C": EFFLORESCES_C}
        yield "cold-and-wet", Found(damp_h, values)

    def _film(self) -> Iterator[tuple[str, Found]]:
        """How long film or cloth lay on a face that shows; of none that may, nothing."""
        scenario = self.scenario
        if scenario.shape.film_may_lie:
            return
        off_h = min([self.until_h, *(self.done.get(k, np.inf) for k in ("uncover", "strip"))])
        laid = [one.from_h for one in scenario.coverings if one.kind in KEEPS_OFF]
        ends = [one.until_h for one in scenario.coverings if one.kind in KEEPS_OFF]
        if "cover" in self.done:
            laid, ends = [*laid, self.done["cover"]], [*ends, np.inf]
        lay_h = max([0.0, *(min(e, off_h) - b for b, e in zip(laid, ends, strict=True))])
        yield "film-touched", Found(lay_h, {"lay_h": lay_h})

    def _dried(self) -> Iterator[tuple[str, Found]]:
        """By how much one face dried ahead, as a bow of the whole piece."""
        dried, shape = self.simulation.drying, self.scenario.shape
        if dried is None or shape.like != "panel":
            return
        last = int(np.searchsorted(dried.dried.hour, self.until_h, side="right"))
        _, bow_mm = cure.bow(
            self.trajectory, dried, shape.section_mm, shape.length_mm, max(last, 1)
        )
        values: dict[str, Value] = {"bow_mm": bow_mm, "length_mm": shape.length_mm}
        yield "one-face-dried", Found(bow_mm, values)

    def worked(self) -> Iterator[tuple[str, Found]]:
        """What was done to it, against what it had by then."""
        scenario, trajectory = self.scenario, self.trajectory
        needs_MPa = scenario.rules.needs_MPa
        if "strip" in self.done:
            need_MPa = strip.needed("strip", needs_MPa)
            yield "stripped-early", self._strength("strip", need_MPa)
        if "turn" in self.done:
            need_MPa = turn.needed(
                scenario.shape,
                scenario.mixture.density_kg_m3,
                scenario.mould.material,
                needs_MPa,
                scenario.rules.gear,
            )
            yield "turned-early", self._strength("turn", need_MPa)
        bared = [self.done[step] for step in ("end-wet-cure", "uncover") if step in self.done]
        if not bared and not np.isfinite(told_h(scenario)) and "strip" in self.done:
            bared = [self.done["strip"]]  # nothing ever kept its water in but the mould
        if bared:
            case = cases.case_of(scenario, self.simulation, self.until_h)
            asked_h = trajectory.hour_by(cure.cure(replace(case, dried=None)).opens_h, 0.5)
            kept_h, end_h = min(bared), float(trajectory.hour[-1])
            values: dict[str, Value] = {"kept_h": kept_h, "asked_h": min(asked_h, end_h)}
            yield "cured-short", Found(kept_h / max(asked_h, 1.0), values)
        yield from self._chilled()

    def _chilled(self) -> Iterator[tuple[str, Found]]:
        """How far the face fell in the day after it was uncovered or stripped."""
        trajectory = self.trajectory
        steps = [self.done[step] for step in ("uncover", "strip") if step in self.done]
        limit_K = protect.cooling_limit_K(self.scenario.shape.thickest_mm)
        falls = [
            self.middle(
                trajectory.at(trajectory.top_C, hour)
                - trajectory.top_C[self.rows(hour, hour + NIGHT_H)].min(axis=0)
            )
            for hour in steps
            if hour < self.until_h
        ]
        if falls:
            fall_K = max(falls)
            values: dict[str, Value] = {"fall_K": fall_K, "limit_K": limit_K}
            yield "chilled", Found(fall_K / limit_K, values)

    def _strength(self, step: str, need_MPa: float) -> Found:
        """What it had when a step was done, over what that asks for."""
        trajectory = self.trajectory
        had_MPa = self.middle(trajectory.at(trajectory.strength_MPa, self.done[step]))
        had_MPa = max(had_MPa, 0.0)
        values: dict[str, Value] = {
            "had_MPa": had_MPa,
            "need_MPa": need_MPa,
            "at": self.at(step),
        }
        return Found(had_MPa / need_MPa, values)

    def at(self, step: str) -> datetime:
        return self.scenario.instant(self.done[step])
