"""The reason of a window in codes and numbers, and what would help most."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np

from models.concrete import prior as priors
from models.facts.frost import SLOW_TO_C
from models.facts.moisture import CONSTANT_MASS_PCT_D
from models.message import Message, Sentence, Value
from models.simulation.calibrate import Contradiction
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import registry
from models.steps.opening import Span, StepOpening, Trajectory
from models.units import Array

UNITS = {
    "": "",
    "MPa": "_MPa",
    "%": "_pct",
    "K": "_K",
    "kg/m2h": "_kg_m2h",
    "d": "_d",
    "h": "_h",
    "y": "_y",
}
TYPICAL = Message("typical_year")


def of_window(
    scenario: Scenario,
    simulation: Simulation,
    opening: StepOpening,
    when: Span,
    state: str,
    now_h: float,
    waits: str = "",
) -> Sentence:
    """Why a step stands where it stands: number now, number needed, hours that count.

    waits : the step that comes first and is not marked done
    """
    trajectory, safe_h = simulation.trajectory, when.safe
    if state == "frozen":
        return (Message("frozen_see_above"),)
    if opening.waits_for:
        return (Message("step_waits_for", {"step": opening.waits_for}),)
    confidence = registry.level_of_opening(opening, scenario.rules.confidence)
    parts = list(_number(trajectory, opening, now_h))
    parts += _of_unknown_strength(scenario, opening, state)
    if state in ("not yet", "blocked"):
        parts = [*_opens_last(scenario, trajectory, opening, confidence, now_h), *parts]
    if waits:
        late = now_h >= min(safe_h, when.latest)
        code = "after_step_not_done" if late else "after_step"
        parts.insert(0, Message(code, {"step": waits}))
    weathered = now_h < safe_h and opening.need.unit != "y"  # years go by the calendar
    known_at = scenario.clock(simulation.known_h)
    if state == "blocked":
        parts.append(Message("weather_known_until", {"at": known_at}))
    elif too_short(opening, when):
        if state != "past":
            values = {"confidence": confidence, "at": scenario.clock(when.p50)}
            parts.append(Message("window_too_short", values))
            parts += [TYPICAL] * (weathered and not trajectory.forecast_rows)
    elif not np.isfinite(safe_h):
        parts.append(_never(scenario, trajectory, opening, confidence))
    elif weathered and not trajectory.forecast_rows:
        parts.append(TYPICAL)
    elif weathered and safe_h >= trajectory.forecast_rows:
        parts.append(Message("beyond_forecast", {"at": known_at}))
    return (*parts, *opening.note)


def _of_unknown_strength(scenario: Scenario, opening: StepOpening, state: str) -> list[Message]:
    """Where the class of the mix alone tells the strength of a step of the mould: its weakest
    twentieth counts, and what would tell more."""
    step = registry.known(opening.step)
    if (
        scenario.strength_told
        or step.stage != "mould"
        or not step.need_drawn
        or state in ("done", "past")
    ):
        return []
    return [Message("strength_unknown", {"mix": scenario.mixture.kind})]


def too_short(opening: StepOpening, when: Span) -> bool:
    """Whether a window that the hand decides has no hour that is sure and still in time."""
    return opening.by_check and np.isfinite(when.latest) and not np.isfinite(when.safe)


def readings_disagree(odd: Sequence[Contradiction]) -> Message:
    """What to do about readings far from what was predicted; `odd`: one or more of them."""
    last = max(odd, key=lambda one: one.at)
    readings: list[Value] = [
        {"kind": o.what, "at": o.at, "value_C": o.value_C, "foreseen_C": round(o.predicted_C, 1)}
        for o in odd
    ]
    return Message(
        "readings_disagree",
        {
            "readings": tuple(readings),
            "value_C": last.value_C,
            "at": last.at,
            "foreseen_C": last.predicted_C,
        },
    )


def dryness(scenario: Scenario, simulation: Simulation, target_rh: float, now_h: float) -> Sentence:
    """How dry it has to be at the test depth, how dry it is, what it loses, and what was seen."""
    drying, trajectory = simulation.drying, simulation.trajectory
    assert drying is not None
    code, values = "dry_enough", {"target_rh": target_rh}
    if 0 <= now_h <= trajectory.hour[-1]:
        low, mid, high = trajectory.band(trajectory.at(drying.dried.probe_rh, now_h))
        loss = trajectory.quantile(trajectory.at(drying.loss_pct(), now_h), 0.5)
        values |= {"now_rh": mid, "low_rh": low, "high_rh": high}
        code = "dry_enough_now"
        if loss >= 0.005:
            code, values["loss_pct"] = "dry_enough_now_losing", loss
    parts = [Message(code, values), *_tile(scenario)]
    made = {step.step for step in scenario.done}
    if not made & {"end-wet-cure", "sand", "hone", "coat-1"}:
        parts.append(Message("drying_counts_from_cure"))
    if np.isfinite(drying.weighed_dry_h):
        parts.append(Message("tile_is_dry"))
    if drying.no_coat_before_h > now_h:
        parts.append(Message("film_was_wet", {"at": scenario.clock(drying.no_coat_before_h)}))
    return tuple(parts)


def _tile(scenario: Scenario) -> list[Message]:
    """What the last two weights of the tile say, against constant mass."""
    weighed = sorted((o for o in scenario.observations if o.kind == "tile"), key=lambda o: o.at)
    if len(weighed) < 2:
        return []
    before, last = weighed[-2:]
    days = max((last.at - before.at) / timedelta(days=1), 1 / 24)
    loss = 100 * (before.value - last.value) / before.value / days
    return [Message("tile_lost", {"loss_pct": loss, "limit_pct": CONSTANT_MASS_PCT_D})]


def look_for_frost(scenario: Scenario, simulation: Simulation, now_h: float) -> Message:
    """That the corner is looked at before anything leans on its strength."""
    came = simulation.frozen_by(now_h)
    at = scenario.clock(simulation.frost_passes(0.5 * came))
    return Message("look_for_frost", {"chance": came, "about_at": at})


def frozen(scenario: Scenario, simulation: Simulation, now_h: float) -> Message:
    """That it probably froze, told once on top, and what to do with it."""
    read = any(reading.kind == "air-min-max" for reading in scenario.observations)
    came = simulation.frozen_by(now_h)
    return Message(
        "probably_frozen",
        {
            "at": scenario.clock(simulation.frost_passes(0.5 * came)),
            "limit_MPa": simulation.trajectory.told_frost_need_MPa(scenario.code.frost_MPa),
            "chance": came,
            "over_C": SLOW_TO_C,
            "settles": () if read else (Message("reading_would_settle"),),
        },
    )


def _opens_last(
    scenario: Scenario, trajectory: Trajectory, opening: StepOpening, level: float, now_h: float
) -> list[Message]:
    """The condition that opens after all others and after the number; none where the number is."""
    if not opening.conditions:
        return []
    number_h = opening.number_h
    if number_h is None and opening.shown is not None:
        number_h = trajectory.first(opening.shown, opening.need.value)
    last_h = now_h if number_h is None else max(now_h, trajectory.hour_by(number_h, level))
    told: list[Message] = []
    for condition in opening.conditions:
        opens_h = trajectory.hour_by(condition.opens_h, level)
        if opens_h > last_h:
            last_h = opens_h
            says = condition.says
            at = (Message("comes_at", {"at": scenario.clock(opens_h)}),)
            comes = at if np.isfinite(opens_h) else ()
            told = [Message(says.code, {**says.values, "comes": comes})]
    return told


def _number(trajectory: Trajectory, opening: StepOpening, now_h: float) -> list[Message]:
    """`strength 3.2 MPa now (1.9 to 4.6), needs 5.0`; before placing only what it needs."""
    need, unit = opening.need, UNITS[opening.need.unit]
    values: dict[str, Value] = {
        "quantity": need.quantity,
        f"need{unit}": need.value,
        "also": opening.also,
    }
    if opening.shown is None or not 0 <= now_h <= trajectory.hour[-1]:
        return [Message(f"needs{unit}", values)]
    low, mid, high = trajectory.band(trajectory.at(opening.shown, now_h))
    values |= {f"now{unit}": mid, f"low{unit}": low, f"high{unit}": high}
    messages = [Message(f"has_and_needs{unit}", values)]
    if need.unit == "MPa" and now_h >= 1:
        counted = trajectory.quantile(trajectory.at(trajectory.te_mean_h, now_h), 0.5)
        messages.append(Message("hours_that_count", {"clock_h": now_h, "counted_h": counted}))
    return messages


def _never(
    scenario: Scenario, trajectory: Trajectory, opening: StepOpening, confidence: float
) -> Message:
    if opening.never is not None:
        return opening.never
    if opening.chance is not None:
        dry = trajectory.hour_by(opening.opens_h, 0.5)
        if dry >= trajectory.forecast_rows - 1:
            return Message("dry_after_forecast", {"at": scenario.clock(dry)})
        best = float(opening.chance.max()) if len(opening.chance) else 0.0
        return Message("no_hour_holds", {"confidence": confidence, "best_chance": best})
    values = {"confidence": confidence, "within_d": trajectory.hour[-1] / 24}
    if opening.shown is None:
        return Message("not_reached", values)
    end = trajectory.quantile(opening.shown[-1], 0.1)
    if end >= opening.need.value:
        return Message("held_back")
    unit = UNITS[opening.need.unit]
    return Message(f"not_reached_then{unit}", {**values, f"end{unit}": end})


def split_width(simulation: Simulation, need_MPa: float) -> dict[str, float]:
    """Width of the strip time, 10 to 90 % [h], as it would be with only one doubt left.

    temperature: strength curve of the middle member; mix and batch: temperature of the middle one.
    """
    trajectory, prior = simulation.trajectory, simulation.prior
    te = trajectory.te_cold_h
    middle = np.median(te, axis=1)

    def alike(of_member: Array) -> Array:
        return np.full(trajectory.members, float(np.median(of_member)))

    same = replace(
        prior,
        strength_28d_MPa=alike(prior.strength_28d_MPa),
        rate_constant_h=alike(prior.rate_constant_h),
        exponent=alike(prior.exponent),
        dormant_h=alike(prior.dormant_h),
        day_one_h=alike(prior.day_one_h),
        day_one_tau_h=alike(prior.day_one_tau_h),
        begins=alike(prior.begins),
        batch=alike(prior.batch),
    )
    no_batch = replace(prior, batch=np.ones(trajectory.members))
    spread = np.broadcast_to(middle[:, None], te.shape)
    only_batch = replace(same, batch=prior.batch)

    def width(age_h: Array, of: priors.Prior) -> float:
        opens = trajectory.first(age_h, of.age_at(need_MPa))
        ends = [trajectory.hour_by(opens, q) for q in (0.1, 0.9)]
        return ends[1] - ends[0] if np.isfinite(ends).all() else float("inf")

    return {
        "temperature": width(te, same),
        "mix": width(spread, no_batch),
        "batch": width(spread, only_batch),
    }


def evidence(scenario: Scenario, simulation: Simulation, need_MPa: float) -> Message:
    """The one piece of evidence that would narrow the windows most."""
    kinds = {reading.kind for reading in scenario.observations}
    if any(step.step == "strip" for step in scenario.done):
        return Message("evidence_next_tile" if "tile" in kinds else "evidence_weights")
    parts = split_width(simulation, need_MPa)
    if parts["temperature"] >= max(parts["mix"], parts["batch"]) and "concrete" not in kinds:
        near = "air-min-max" in kinds or scenario.site.kind == "heated room"
        return Message("evidence_probe" if near else "evidence_max_min")
    return Message("evidence_second_test" if scenario.tests else "evidence_first_test")
