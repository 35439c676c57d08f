"""The reason of a window in words and numbers, and what would help most."""

from collections.abc import Sequence
from datetime import timedelta

import numpy as np

from models.facts.moisture import CONSTANT_MASS_PCT_D
from models.facts.protection import FROST_MPA
from models.message import Message, text
from models.projection.calibrate import Contradiction
from models.projection.clock import clock, local, said
from models.projection.physics import Lived
from models.projection.scenario import Scenario
from models.quantile import quantile
from models.steps import registry
from models.steps.opening import Course, StepOpening
from models.units import Array

DECIMALS = {"MPa": 1, "": 2, "K": 1, "kg/m2h": 2, "d": 1}
TYPICAL = "in a typical year; there is no forecast"


def sentence(
    scenario: Scenario,
    lived: Lived,
    opening: StepOpening,
    p50: float,
    p90: float,
    latest: float,
    state: str,
    now_h: float,
    waits: str = "",
) -> str:
    """Why a step stands where it stands: number now, number needed, hours that count.

    waits : the step that comes first and is not marked done
    """
    course = lived.course
    if state == "frozen":
        return _frozen(scenario, lived, now_h)
    if opening.waits_for:
        return f"Waits for {_word(opening.waits_for)}, which has no sure hour yet."
    parts = [_number(course, opening, now_h)]
    if waits:
        late = ", which is not marked done" if now_h >= min(p90, latest) else ""
        parts.insert(0, f"after {_word(waits)}{late}")
    share = f"{scenario.rules.confidence:.0%}"
    weathered = now_h < p90 and opening.need.unit != "y"  # years go by the calendar
    if state == "blocked":
        parts.append(f"no weather after {said(scenario, lived.known_h)}")
    elif too_short(opening, p90, latest):
        if state != "past":
            parts.append(
                f"the window is too short to be {share} sure of: go by the check from"
                f" {said(scenario, p50)} on, not by the clock"
            )
            parts += [TYPICAL] * (weathered and not course.forecast_rows)
    elif not np.isfinite(p90):
        parts.append(_never(scenario, course, opening, share))
    elif weathered and not course.forecast_rows:
        parts.append(TYPICAL)
    elif weathered and p90 >= course.forecast_rows:
        parts.append(
            f"beyond the forecast, which ends {said(scenario, lived.known_h)}:"
            " from the mean day of the record"
        )
    lost = float(course.weight[course.frozen_h <= max(now_h, p90 if np.isfinite(p90) else 0)].sum())
    if lost >= 0.05 and registry.known(opening.step).stage != "fresh":
        parts.append(
            f"{lost:.0%} chance that it freezes before 3.5 MPa and keeps half its strength"
        )
    if opening.note:
        small = opening.note[1:2].islower()
        parts.append(opening.note[:1].lower() + opening.note[1:] if small else opening.note)
    text = "; ".join(part.rstrip(".") for part in parts if part)
    return text[:1].upper() + text[1:] + "."


def too_short(opening: StepOpening, p90: float, latest: float) -> bool:
    """Whether a window that the hand decides has no hour that is sure and still in time."""
    return opening.by_check and np.isfinite(latest) and not np.isfinite(p90)


def readings_disagree(scenario: Scenario, odd: Sequence[Contradiction]) -> str:
    """What to do about readings far from what was foreseen; `odd`: one or more of them."""
    last = max(odd, key=lambda one: one.at)
    return (
        f"A reading disagrees with what was foreseen ({last.value_C:z.1f} C at"
        f" {local(scenario, last.at)}, {last.foreseen_C:z.1f} C was foreseen): the colder of both"
        " counts. Read again in the shade, with another thermometer if there is one; or mark the"
        " instrument as wrong."
    )


def dryness(scenario: Scenario, lived: Lived, target_rh: float, now_h: float) -> str:
    """`Dry enough at 90 % at the test depth, now 93 % (91 to 96)`, what it loses, what was seen."""
    drying, course = lived.drying, lived.course
    assert drying is not None
    words = f"Dry enough at {target_rh:.0%} pore humidity at the test depth"
    if 0 <= now_h <= course.hour[-1]:
        low, mid, high = (
            quantile(course.at(drying.dried.probe_rh, now_h), course.weight, q)
            for q in (0.1, 0.5, 0.9)
        )
        loss = quantile(course.at(drying.loss_pct_d, now_h), course.weight, 0.5)
        words += f", now {mid:.0%} ({low:.0%} to {high:.0%})"
        if loss >= 0.005:
            words += f", losing {loss:.2f} % of its mass a day"
    parts = [words, *_tile(scenario)]
    made = {step.step for step in scenario.done}
    if not made & {"end-wet-cure", "sand", "hone", "coat-1"}:
        parts.append("Drying counts from the end of the wet cure, not marked done yet")
    if np.isfinite(drying.weighed_dry_h):
        parts.append("The tile's mass is constant: that counts as dry, a dry film alone would not")
    if drying.held_until_h > now_h:
        parts.append(
            f"A taped film was wet: wait, and tape again {said(scenario, drying.held_until_h)}"
        )
    return ". ".join(parts) + "."


def _tile(scenario: Scenario) -> list[str]:
    """What the last two weights of the tile say, against constant mass."""
    weighed = sorted((o for o in scenario.observations if o.kind == "tile"), key=lambda o: o.at)
    if len(weighed) < 2:
        return []
    before, last = weighed[-2:]
    days = max((last.at - before.at) / timedelta(days=1), 1 / 24)
    loss = 100 * (before.value - last.value) / before.value / days
    return [
        f"The tile lost {loss:.2f} % a day between its last two weights; under"
        f" {CONSTANT_MASS_PCT_D:g} % its mass is called constant"
    ]


def _frozen(scenario: Scenario, lived: Lived, now_h: float) -> str:
    settles = "; a max-min reading beside it would settle whether it froze"
    if any(reading.kind == "air-min-max" for reading in scenario.observations):
        settles = ""
    struck = lived.course.frozen_h[lived.course.frozen_h <= now_h]
    return (
        f"Probably frozen since {said(scenario, float(np.median(struck)))}, before 3.5 MPa"
        f" ({lived.frozen_by(now_h):.0%}): leave the mould on, bring it slowly over 10 C and keep"
        f" it there wet for three days, then try a corner or break a cube before anything else"
        f"{settles}."
    )


def _word(step: str) -> str:
    """`coat 1` of coat-1."""
    return step.replace("-", " ")


def _number(course: Course, opening: StepOpening, now_h: float) -> str:
    """`strength 3.2 MPa now (1.9 to 4.6), needs 5.0`; before placing only what it needs."""
    need, places = opening.need, DECIMALS.get(opening.need.unit, 1)
    unit = f" {need.unit}" if need.unit else ""
    also = f", {opening.also}" if opening.also else ""
    wants = f"needs {need.quantity} {need.value:.{places}f}{unit}{also}"
    if opening.shown is None or not 0 <= now_h <= course.hour[-1]:
        return wants
    low, mid, high = (
        quantile(course.at(opening.shown, now_h), course.weight, q) for q in (0.1, 0.5, 0.9)
    )
    text = (
        f"{need.quantity} now {mid:z.{places}f}{unit} ({low:z.{places}f} to {high:z.{places}f}),"
        f" needs {need.value:.{places}f}{also}"
    )
    counted = quantile(course.at(course.te_mean_h, now_h), course.weight, 0.5)
    if need.unit == "MPa" and now_h >= 1:
        text += f"; {now_h:.0f} h on the clock, {counted:.0f} that count"
    return text


def _never(scenario: Scenario, course: Course, opening: StepOpening, share: str) -> str:
    if opening.never:
        return opening.never
    if opening.chance is not None:
        dry = quantile(opening.opens_h, course.weight, 0.5)
        if dry >= course.forecast_rows - 1:
            when = said(scenario, dry)
            return f"dry enough about {when}, after the forecast ends: no coat is planned beyond it"
        best = float(opening.chance.max()) if len(opening.chance) else 0.0
        return (
            f"no hour of the forecast holds for {share} of the members (best {best:.0%})"
            " through its drying"
        )
    days = course.hour[-1] / 24
    if opening.shown is None:
        return f"not reached at {share} within {days:.0f} days"
    end = quantile(opening.shown[-1], course.weight, 0.1)
    if end >= opening.need.value:
        return "held back by the steps before it"
    return (
        f"not reached at {share} within {days:.0f} days:"
        f" then {end:z.1f} {opening.need.unit} at the low end"
    )


def split_width(lived: Lived, need_MPa: float) -> dict[str, float]:
    """Width of the strip time, 10 to 90 % [h], as it would be with only one doubt left.

    temperature: strength curve of the middle member; mix and batch: temperature of the middle one.
    """
    course, belief = lived.course, lived.belief
    te = course.te_cold_h
    middle = np.median(te, axis=1)
    curve = {
        name: np.full(course.members, float(np.median(getattr(belief, name))))
        for name in ("strength_28d_MPa", "rate_constant_h", "exponent", "dormant_h", "batch")
    }
    same = type(belief)(**{**belief.__dict__, **curve})
    no_batch = type(belief)(**{**belief.__dict__, "batch": np.ones(course.members)})
    spread = np.repeat(middle[:, None], course.members, axis=1)
    only_batch = type(belief)(**{**same.__dict__, "batch": belief.batch})

    def width(strength: Array) -> float:
        opens = course.first(strength, need_MPa)
        ends = [quantile(opens, course.weight, q) for q in (0.1, 0.9)]
        return ends[1] - ends[0] if np.isfinite(ends).all() else float("inf")

    return {
        "temperature": width(same.strength_at(te)),
        "mix": width(no_batch.strength_at(spread)),
        "batch": width(only_batch.strength_at(spread)),
    }


def evidence(scenario: Scenario, lived: Lived, need_MPa: float) -> str:
    """The one piece of evidence that would narrow the windows most."""
    kinds = {reading.kind for reading in scenario.observations}
    if any(step.step == "strip" for step in scenario.done):
        if "tile" in kinds:
            return "The tile's next weight, at the same hour, would say most about when it is dry."
        return "Daily weights of the piece or a witness tile would say most about when it is dry."
    parts = split_width(lived, need_MPa)
    if parts["temperature"] >= max(parts["mix"], parts["batch"]) and "concrete" not in kinds:
        if "air-min-max" in kinds or scenario.site.kind == "heated room":
            return "A thermometer in the concrete would narrow the windows most."
        return (
            "A max-min thermometer beside the piece overnight would narrow the windows most,"
            " then a probe in the concrete."
        )
    if scenario.tests:
        return "A second cube or bar, a day later, would narrow the windows most."
    return "Breaking a cube or bar cured beside the piece would narrow the windows most."


def frost_warning(scenario: Scenario, lived: Lived, now_h: float) -> Message | None:
    """What is said when the piece may freeze too young, or did; None under five per cent.

    What may still come is told with what can be done by then; what may have been, with how to look.
    """
    course = lived.course
    if lived.counts_as_frozen(now_h):
        return Message("frost_froze", {"why": text(_frozen(scenario, lived, now_h))})
    young = np.where(course.strength_MPa < FROST_MPA, course.coldest_C, np.inf)
    ahead = np.isfinite(course.frozen_h) & (course.frozen_h > now_h)
    chance = float(course.weight[ahead].sum())
    if chance >= 0.05:
        at = quantile(course.frozen_h[ahead], course.weight[ahead], 0.1)
        low = quantile(young[course.hour >= now_h].min(axis=0), course.weight, 0.1)
        told = {"chance": chance, "from_at": clock(scenario, at), "lowest_C": low}
        return Message("frost_may_come", {**told, "need_MPa": FROST_MPA})
    past = course.frozen_h <= now_h
    chance = float(course.weight[past].sum())
    if chance < 0.05:
        return None
    at = quantile(course.frozen_h[past], course.weight[past], 0.5)
    told = {"chance": chance, "about_at": clock(scenario, at), "need_MPa": FROST_MPA}
    return Message("frost_may_have_come", told)
