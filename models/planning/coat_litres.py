"""The coats of a product without their search: litres, hours they were given, what each is of."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from models.coating.finish import Product
from models.facts.sealers import SEALER_WASTE
from models.message import Message, Sentence, Value
from models.piece.coated import coated_m2, litres_of_coats
from models.results import CoatPlan, PlannedCoat, PlannedProduct
from models.simulation.scenario import Scenario
from models.steps.opening import NO_HOUR, Span


@dataclass(frozen=True)
class Planned:
    """One coat with its hours from placing [h], the fraction of the members in which it and those
    before it hold, and what it waits for."""

    at_h: float
    span: Span
    chance: float
    why: Sentence


NOT_PLANNED = Planned(np.inf, NO_HOUR, 0.0, ())


def with_litres(
    scenario: Scenario,
    says: Sentence,
    rows: Mapping[int, Planned] | None = None,
    *,
    chance: float = 0.0,
    safe: bool = False,
    product: Product | None = None,
) -> CoatPlan:
    """Every coat with its sealer and the water that thins it; without a row it has no hours.

    product : the one whose coats are told; None: the first
    """
    finish = scenario.resolved().finish
    product = product or finish[0]
    sheet, area_m2 = product.sheet, coated_m2(scenario.shape)
    done = {one.step: one.at for one in scenario.done}
    listed: list[PlannedCoat] = []
    for number, litres in zip(product.numbers, litres_of_coats(area_m2, sheet), strict=True):
        row = (rows or {}).get(number, NOT_PLANNED)
        last = number == product.numbers.stop - 1
        hold_h = sheet.hold_h if last else min(sheet.hold_h, sheet.recoat_min_h)
        listed.append(
            PlannedCoat(
                f"coat-{number}",
                scenario.clock(row.at_h),
                scenario.clock(row.span.latest, closes=True),
                scenario.clock(row.at_h + hold_h),
                scenario.clock(row.at_h + sheet.touch_h),
                litres.sealer_l,
                litres.water_l,
                row.chance,
                row.why,
                done.get(f"coat-{number}"),
            )
        )
    net_l = sum(one.sealer_l for one in listed if one.done_at is None)
    sealer = Message("sealer", named(product))
    litres_l = net_l * (1 + SEALER_WASTE)
    dwell_h = sheet.dwell_h
    products: tuple[PlannedProduct, ...] = ()
    if len(finish) > 1 or dwell_h is not None:
        hours = [(rows or {}).get(number, NOT_PLANNED).at_h for number in product.numbers]
        wiped = tuple(scenario.clock(at_h + dwell_h) for at_h in hours) if dwell_h else ()
        dwell_min = None if dwell_h is None else 60 * dwell_h
        one = PlannedProduct(sealer, product.steps, net_l, litres_l, dwell_min, wiped)
        products = (one,)
    return CoatPlan(
        tuple(listed), chance, safe, area_m2, net_l, litres_l, says, sealer, products=products
    )


def all_without_hours(scenario: Scenario, says: Sentence) -> CoatPlan:
    """Every coat of every product, none with hours."""
    plans = [with_litres(scenario, says, product=one) for one in scenario.resolved().finish]
    listed = sum((one.products for one in plans), ())
    return replace(
        plans[0],
        coats=sum((one.coats for one in plans), ()),
        net_l=sum(one.net_l for one in plans),
        litres_l=sum(one.litres_l for one in plans),
        sealer=all_named(listed) if len(plans) > 1 else plans[0].sealer,
        products=listed,
    )


def all_named(products: tuple[PlannedProduct, ...]) -> Message:
    """A finish by the names of its products."""
    return Message("finish", {"products": tuple(one.sealer for one in products)})


def of_product(product: Product) -> Message:
    """What the coat is of, and how long it stays wet before it is wiped."""
    dwell_h = product.sheet.dwell_h
    code = "coat_product"
    values = named(product)
    if dwell_h is not None:
        code = "coat_product_rinsed" if product.rinsed else "coat_product_wiped"
        values["dwell_min"] = 60 * dwell_h
    return Message(code, values)


def named(product: Product) -> dict[str, Value]:
    return {"chemistry": product.chemistry or ""}
