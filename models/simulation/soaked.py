"""Water that reaches a young piece from outside: wet, it bears a frost only when stronger."""

import numpy as np

from models.facts.air import WET_MM_H
from models.facts.moisture import WASHED_H
from models.facts.protection import COVERS
from models.simulation.in_force import NEVER_H, covered_until
from models.simulation.plan import Plan
from models.simulation.scenario import Scenario
from models.units import Array, Mask

WETS = ("hone", "patch")  # a slurry that fills pinholes is water too


def soaked_h(
    scenario: Scenario,
    plan: Plan,
    hour: Array,
    rain_mm: Array,
    film_h: float = np.inf,
    blown_h: tuple[float, float] = NEVER_H,
) -> Array:
    """Hour at which water from outside first reaches each member [h], (members,); infinite: never.

    A wet cover brings it, and so does rain where neither film nor a cover that sheds it lies; and
    so does wet honing, a filling of pinholes, and the rinsing of an acid.

    hour : (rows,) [h] from placing; rain_mm : (rows, members) [mm/h]
    film_h : when film goes on a face of which nothing else is told or meant [h]
    blown_h : [h] from when to when the wind has taken the covers that lie there
    """
    off_h = plan.hour("uncover")
    sheds = (hour >= plan.hours.get("cover", film_h)) & (hour < plan.hour("end-wet-cure"))
    soaks = np.zeros(len(hour), dtype=np.bool_)
    blown = (hour >= blown_h[0]) & (hour < blown_h[1])
    for covering in (*scenario.coverings, *plan.covers):
        lies = (hour >= covering.from_h) & (hour < covered_until(covering, off_h)) & ~blown
        if COVERS[covering.kind].sheds_rain:
            sheds |= lies
        else:
            soaks |= lies
    soaks |= washed(scenario, plan, hour)
    wet = soaks[:, None] | (~sheds[:, None] & (rain_mm > WET_MM_H))
    return np.where(wet.any(axis=0), hour[np.argmax(wet, axis=0)], np.inf)


def washed(scenario: Scenario, plan: Plan, hour: Array) -> Mask:
    """Hours at which work keeps the faces wet: each round of honing or filling, and the rinse of a
    product that has dwelt, (rows,) boolean.

    hour : (rows,) [h] from placing
    Source: facts.moisture (COMMON_PRACTICE).
    """
    wet = np.zeros(len(hour), dtype=np.bool_)
    ends = [at_h + WASHED_H for step in WETS for at_h in plan.all_of(step)]
    begins = [end - WASHED_H for end in ends]
    for product in scenario.resolved().finish:
        if product.rinsed:
            made = [plan.hours[one] for one in product.steps if one in plan.hours]
            begins += made
            ends += [at_h + (product.sheet.dwell_h or 0.0) + WASHED_H for at_h in made]
    for begin_h, end_h in zip(begins, ends, strict=True):
        wet |= (hour >= np.floor(begin_h)) & (hour < end_h)
    return wet
