"""A pour and its simulation as the criteria of the steps see them."""

import numpy as np

from models.facts.cements import CLASSES
from models.facts.codes import QUICK
from models.facts.curing import EARLY_H
from models.simulation.fresh_face import evaporation_limit
from models.simulation.physics import Simulation
from models.simulation.scenario import Scenario
from models.steps.case import Case, Setup


def setup_of(scenario: Scenario, now_h: float) -> Setup:
    """What decides at an hour from placing [h] which steps the pour has."""
    lies = any(covering.until_h > now_h for covering in scenario.coverings)
    done = scenario.done_h
    sheet, frost = scenario.resolved().sheet, scenario.exposed_to_frost
    covered, sealed = lies or "uncover" in done, scenario.sealer.told
    finish = scenario.resolved().finish
    return Setup(
        scenario.shape,
        covered,
        frost,
        sheet,
        done,
        sealed,
        scenario.mould.material,
        scenario.burner,
        scenario.placement.burner_fitted,
        finish if len(finish) > 1 else (),
        delivered=scenario.placement.delivered,
    )


def case_of(scenario: Scenario, simulation: Simulation, now_h: float) -> Case:
    """The pour as the criteria see it at an hour from placing [h], under the plan it went by."""
    trajectory, plan = simulation.trajectory, simulation.plan
    early = simulation.prior.strength_at(np.full(trajectory.members, EARLY_H))
    return Case(
        setup_of(scenario, now_h),
        trajectory,
        CLASSES[scenario.mixture.kind],
        scenario.mixture.density_kg_m3,
        scenario.rules.needs_MPa,
        scenario.rules.confidence,
        scenario.coverings,
        float(np.median(early)) / trajectory.named_28d_MPa,
        simulation.evaporation_kg_m2h,
        evaporation_limit(scenario),
        {step: plan.hour(step) for step in ("strip", "end-wet-cure", "uncover", "sand")},
        scenario.code,
        scenario.mixture.kind in QUICK or scenario.mixture.admixture == "accelerator",
        simulation.drying,
        keeps_its_water=scenario.mixture.keeps_its_water,
        older_h=scenario.batched.older_h,
        gear=scenario.rules.gear,
        strength_told=scenario.strength_told,
    )
