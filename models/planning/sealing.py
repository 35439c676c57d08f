"""When a piece is ready for its sealer, and the coats from then on."""

from dataclasses import replace

import numpy as np

from models.facts.after import PATCH_COAT_H
from models.facts.sealers import FAN_SHORTENS, TIGHT_AGE_D, TIGHT_RH_FRACTION
from models.message import Message, Value
from models.planning import coat_plan, reasons
from models.planning.windows import span
from models.results import Need
from models.simulation import stays
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import dry, patch
from models.steps.case import Case
from models.steps.opening import Condition, Span, StepOpening
from models.units import Mask


def sealed(
    scenario: Scenario, simulation: Simulation, case: Case, now_h: float
) -> coat_plan.Coated:
    """The coats, once the piece is dry, old enough, and its patches are hard; without a sealer how
    long until then."""
    scenario = _aired(scenario, simulation)
    trajectory, at = case.trajectory, case.setup.sheet
    conditions = waits_for(simulation, case, now_h)
    ready = np.maximum.reduce([one.opens_h for one in conditions])
    face_dry = dry.face_is_dry(case.drying, scenario.sealer.chemistry)
    if scenario.sealer.chemistry is None:
        made = coat_plan.coated(scenario, trajectory, conditions[0].opens_h, face_dry, now_h, ())
        first_of_all = dry_to_seal(scenario, simulation, case, conditions, now_h)
        return replace(made, openings=[first_of_all, *made.openings])
    why = reasons.dryness(scenario, simulation, at.dry_rh_fraction, now_h)
    why = (*why, Message("least_age", {"least_d": at.min_age_d}))
    coated = coat_plan.coated(scenario, trajectory, ready, face_dry, now_h, why)
    first, when = coated.openings[0]  # a later one waits for the one below it
    first = replace(first, conditions=conditions, number_h=np.full(trajectory.members, -np.inf))
    return replace(coated, openings=[(first, when), *coated.openings[1:]])


def waits_for(simulation: Simulation, case: Case, now_h: float) -> tuple[Condition, ...]:
    """What a piece waits for before its first coat: dry at depth, old, whole, and worked."""
    trajectory, at, plan = case.trajectory, case.setup.sheet, simulation.plan
    target, patches = at.dry_rh_fraction, plan.all_of("patch")
    patched_h = patch.hard_h(trajectory, patches[-1] if patches else None, PATCH_COAT_H)
    return (
        Condition(
            Message("last_dry", {"target_rh": target}), dry.ready_at(case.drying, target, now_h)
        ),
        Condition(
            Message("last_age", {"least_d": at.min_age_d}),
            np.full(trajectory.members, 24.0 * at.min_age_d),
        ),
        Condition(Message("last_patch", {"wait_h": PATCH_COAT_H}), patched_h),
        Condition(Message("last_worked"), np.full(trajectory.members, plan.last_h("sand", "hone"))),
    )


def _aired(scenario: Scenario, simulation: Simulation) -> Scenario:
    """Where a fan is to run at last, a coat of water dries in half of its usual time at most."""
    moved, sheet = stays.of_plan(scenario, simulation.plan), scenario.resolved().sheet
    told = not scenario.sealer.told or "recoat_min_h" in sheet.given
    if told or sheet.dries != "water" or not (moved and moved[-1].fan):
        return scenario
    wait_h = FAN_SHORTENS * sheet.recoat_min_h
    return replace(scenario, sealer=replace(scenario.sealer, recoat_min_h=wait_h))


def dry_to_seal(
    scenario: Scenario,
    simulation: Simulation,
    case: Case,
    conditions: tuple[Condition, ...],
    now_h: float,
) -> tuple[StepOpening, Span]:
    """Where nobody told what is to seal it, the piece ends at dry enough; coats that are marked
    done are told, none is made up. conditions : those of `waits_for`."""
    trajectory, sheet = case.trajectory, case.setup.sheet
    why = reasons.dryness(scenario, simulation, sheet.dry_rh_fraction, now_h)[1:]
    face_dry = dry.face_is_dry(case.drying, None)
    depth_h, *others = (one.opens_h for one in conditions)
    ready: Mask = trajectory.hour[:, None] >= np.maximum.reduce([depth_h, *others])
    wait_h = dry.wait_after_wet_h(None)
    open_h = dry.begins_h(trajectory.hour, face_dry, now_h)
    values: dict[str, Value] = {"most_age_d": TIGHT_AGE_D, "tight_rh": TIGHT_RH_FRACTION}
    opening = StepOpening(
        "dry-to-seal",
        Need(Message("pore_humidity"), 100 * sheet.dry_rh_fraction, "%"),
        dry.begins_h(trajectory.hour, ready & face_dry, now_h),
        ("ASTM_F2170", *sheet.sources),
        (Message("coat_sheet_first"),),
        shown=100 * case.drying.dried.probe_rh,
        conditions=(
            *(one for one in conditions if one.says.code != "last_age"),
            Condition(Message("last_face_dry", {"wait_h": wait_h}), open_h),
        ),
        number_h=np.full(trajectory.members, -np.inf),
        note=(*why, Message("choose_a_sealer", values)),
        after="strip",
        never=Message("air_does_not_dry", {"within_d": trajectory.hour[-1] / 24}),
    )
    return opening, span(trajectory, opening, case.confidence, now_h)
