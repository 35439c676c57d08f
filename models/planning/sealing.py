"""When a piece is ready for its sealer, and the coats from then on."""

from dataclasses import replace

import numpy as np

from models.coating.finish import Product
from models.facts.after import PATCH_COAT_H
from models.facts.finishes import RINSE_PH
from models.facts.sealers import FAN_SHORTENS, TIGHT_AGE_D, TIGHT_RH_FRACTION
from models.message import Message, Sentence, Value
from models.planning import coat_plan, finish_plan, reasons
from models.planning.windows import span
from models.results import Need
from models.simulation import stays
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps import dry, patch
from models.steps.case import Case
from models.steps.opening import Condition, Span, StepOpening, Trajectory
from models.units import Mask


def sealed(
    scenario: Scenario, simulation: Simulation, case: Case, now_h: float
) -> coat_plan.Coated:
    """The coats of all products, each once the piece is dry and old enough for it, its patches are
    hard, and the product under it lets it on; without a sealer how long until then."""
    trajectory = case.trajectory
    first, *others = (_aired(one, scenario, simulation) for one in scenario.resolved().finish)
    conditions = waits_for(simulation, case, now_h, first)
    face_dry = dry.face_is_dry(case.drying, first.chemistry)
    if first.chemistry is None:
        made = coat_plan.coated(scenario, trajectory, conditions[0].opens_h, face_dry, now_h, ())
        first_of_all = dry_to_seal(scenario, simulation, case, conditions, now_h)
        return replace(made, openings=[first_of_all, *made.openings])
    why = _why(scenario, simulation, first, now_h)
    made = _of_product(scenario, case, now_h, first, conditions, why, None)
    for product in others:
        after = let_on(trajectory, made.product, made.last_h, product)
        if not np.isfinite(made.last_h):
            made = finish_plan.joined(
                made, finish_plan.unplanned(scenario, trajectory, product, made.holds)
            )
            continue
        conditions = waits_for(simulation, case, now_h, product, after)
        code = after.says.code.replace("last_product", "product_under")
        why = (*_why(scenario, simulation, product, now_h), replace(after.says, code=code))
        over = _of_product(scenario, case, now_h, product, conditions, why, made.holds)
        over = finish_plan.abraded(scenario, trajectory, made, over, now_h)
        made = finish_plan.joined(made, over)
    return made


def _of_product(
    scenario: Scenario,
    case: Case,
    now_h: float,
    product: Product,
    conditions: tuple[Condition, ...],
    why: Sentence,
    alive: Mask | None,
) -> coat_plan.Coated:
    """The coats of one product; its first waits for the piece, a later one for the one below it."""
    trajectory = case.trajectory
    ready = np.maximum.reduce([one.opens_h for one in conditions])
    face_dry = dry.face_is_dry(case.drying, product.chemistry)
    made = coat_plan.coated(
        scenario, trajectory, ready, face_dry, now_h, why, product=product, alive=alive
    )
    opening, when = made.openings[0]
    opening = replace(opening, conditions=conditions, number_h=np.full(trajectory.members, -np.inf))
    return replace(made, openings=[(opening, when), *made.openings[1:]])


def _why(scenario: Scenario, simulation: Simulation, product: Product, now_h: float) -> Sentence:
    sheet = product.sheet
    why = reasons.dryness(scenario, simulation, sheet.dry_rh_fraction, now_h)
    return (*why, Message("least_age", {"least_d": sheet.min_age_d}))


def let_on(trajectory: Trajectory, under: Product, last_h: float, over: Product) -> Condition:
    """From when a product may go on another whose last coat went on at an hour [h]."""
    sheet = under.sheet
    wet_h = dry.wait_after_wet_h(over.chemistry) if under.rinsed else None
    values: dict[str, Value] = {"after_h": sheet.next_after_h}
    if wet_h is not None:
        values |= {"dry_h": wet_h, "most_pH": RINSE_PH}
    says = Message("last_product" if wet_h is None else "last_product_rinsed", values)
    return Condition(says, finish_plan.next_from_h(trajectory, sheet, last_h, wet_h))


def waits_for(
    simulation: Simulation,
    case: Case,
    now_h: float,
    product: Product,
    after: Condition | None = None,
) -> tuple[Condition, ...]:
    """What a piece waits for before the first coat of a product: dry at depth, old, whole, and
    worked; after : what lies under it lets it on."""
    trajectory, at, plan = case.trajectory, product.sheet, simulation.plan
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
        *(() if after is None else (after,)),
    )


def _aired(product: Product, scenario: Scenario, simulation: Simulation) -> Product:
    """Where a fan is to run at last, a coat of water dries in half of its usual time at most."""
    moved, sheet = stays.of_plan(scenario, simulation.plan), product.sheet
    told = product.chemistry is None or "recoat_min_h" in sheet.given
    if told or sheet.dries != "water" or not (moved and moved[-1].fan):
        return product
    wait_h, given = FAN_SHORTENS * sheet.recoat_min_h, sheet.given | {"recoat_min_h"}
    return replace(product, sheet=replace(sheet, recoat_min_h=wait_h, given=given))


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
