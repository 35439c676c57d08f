"""Products one over the other as one plan: when each lets the next on, and all their coats."""

from dataclasses import replace

import numpy as np

from models.coating.finish import Product
from models.facts.sealers import Sheet
from models.message import Message
from models.planning import coat_litres, coat_plan, coat_reasons
from models.planning.coat_plan import STEP_H, Coated
from models.simulation.scenario import Scenario
from models.steps import registry, seal
from models.steps.opening import NO_HOUR, Trajectory
from models.units import Array, Mask


def unplanned(scenario: Scenario, trajectory: Trajectory, product: Product, alive: Mask) -> Coated:
    """A product whose hours nobody knows, since what goes under it has none yet."""
    names = [registry.coat_number(product.under)]
    says = (Message("product_waits", {"coat": float(names[0] or 0), **coat_litres.named(product)}),)
    openings = []
    for number in product.numbers:
        under = f"coat-{number - 1}"
        opening = coat_plan.opening_of(trajectory, number, product.sheet)
        opening = replace(opening, after=under, waits_for=under, never=coat_reasons.NONE_PLANNED)
        openings.append((replace(opening, note=(coat_litres.of_product(product),)), NO_HOUR))
    plan = coat_litres.with_litres(scenario, says, product=product)
    return Coated(plan, openings, np.inf, np.inf, product, alive)


def joined(under: Coated, over: Coated) -> Coated:
    """Both products as one plan; the chance is that of all which has hours."""
    a, b = under.plan, over.plan
    planned = any(one.at for one in b.coats)
    plan = replace(
        b,
        coats=(*a.coats, *b.coats),
        chance=b.chance if planned else a.chance,
        sure=(a.sure or not any(one.done_at is None for one in a.coats)) and b.sure,
        net_l=a.net_l + b.net_l,
        litres_l=a.litres_l + b.litres_l,
        says=(*a.says, *b.says),
        sealer=coat_litres.all_named(a.products + b.products),
        products=a.products + b.products,
    )
    beneath = (*under.under, (under.likely_h, under.safe_h, under.product))
    return replace(over, plan=plan, openings=[*under.openings, *over.openings], under=beneath)


def next_from_h(
    trajectory: Trajectory, sheet: Sheet, last_h: float, wet_h: float | None = None
) -> Array:
    """Hour from which another product may go on one whose last coat went on [h], (members,).

    wet_h : it is rinsed off when it has worked, and the face has to dry for so long [h]

    Source: product sheet, else TYPICAL_SHEET; UFGS_09971 and UNO_1998 for the pace.
    """
    beyond = np.full(trajectory.members, np.inf)
    if not np.isfinite(last_h):
        return beyond
    hour = np.arange(max(last_h, 0.0), trajectory.hour[-1], STEP_H)[: int(60 * 24 / STEP_H)]
    if len(hour) < 2:
        return beyond
    local = seal.local_conditions(trajectory, hour)
    rate = np.minimum(seal.drying_rate(local, sheet), 1.0)  # no warmth shortens another's wait
    wait_h: Array = seal.hours_until(rate, STEP_H, sheet.next_after_h)[0]
    if wet_h is not None:
        wait_h = np.maximum(wait_h, (sheet.dwell_h or 0.0) + wet_h)
    return last_h + wait_h


def until_h(trajectory: Trajectory, sheet: Sheet, last_h: float) -> float:
    """Hour up to which what went on last still takes another product without being abraded [h];
    infinite: there is no end, or nobody knows when it went on.

    Source: as seal.latest_recoat_h.
    """
    hour = np.clip(last_h + np.array([0.0, STEP_H]), 0.0, trajectory.hour[-1])
    if not np.isfinite(last_h):
        return np.inf
    limit_h = seal.latest_recoat_h(seal.local_conditions(trajectory, hour).sunlit_C[0], sheet)
    return last_h + trajectory.quantile(limit_h, 0.1)


def abraded(
    scenario: Scenario, trajectory: Trajectory, under: Coated, over: Coated, now_h: float
) -> Coated:
    """With a word on the first coat of a product where that below has, or will have, hardened."""
    first = over.product.numbers.start
    if any(step in scenario.done_h for step in over.product.steps):
        return over
    end_h = until_h(trajectory, under.product.sheet, under.last_h)
    coats = over.plan.coats
    at = next((one.at for one in coats if one.step == f"coat-{first}"), None)
    if max(now_h, -np.inf if at is None else scenario.hour(at)) <= end_h:
        return over
    opening, when = over.openings[0]
    says = coat_reasons.too_late(scenario, end_h, now_h)
    opening = replace(opening, note=(says, *opening.note))
    coats = tuple(
        replace(one, why=(says, *one.why)) if one.step == opening.step else one for one in coats
    )
    return replace(
        over,
        plan=replace(over.plan, coats=coats),
        openings=[(opening, when), *over.openings[1:]],
    )
