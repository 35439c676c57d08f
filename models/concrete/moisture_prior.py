"""What is not known for sure about the drying of a mix, as members."""

import numpy as np

from models.concrete import _moisture_stages, moisture, moisture_laws
from models.concrete.hydration import degree_of_hydration
from models.concrete.mixture import Mixture
from models.concrete.prior import Prior
from models.draws import Draws
from models.facts import moisture as facts
from models.facts.cements import CLASSES
from models.rng import ROOT
from models.units import Array


def cement_kg_m3(mixture: Mixture, water_cement: float) -> float:
    """Cement in a cubic metre of the concrete as it was placed [kg/m3].

    What was told, else what the class has, thinned by the water over that recipe's.

    water_cement : dimensionless, added water in it
    Source: geometry, since volumes add up.
    """
    recipe, kind = mixture.resolved(), CLASSES[mixture.kind]
    cement = recipe.cement_kg_m3
    usual = recipe.water_cement if mixture.cement_kg_m3 else kind.water_cement
    return cement / (1.0 + cement * (water_cement - usual) / 1000.0)


def draw_law(
    prior: Prior,
    seed: int = ROOT,
    water_cement: float = facts.USUAL_WATER_CEMENT,
    cement: float = facts.SORPTION_CEMENT_KG_M3,
) -> moisture.Law:
    """One diffusion law a member: D1 by its 28-day strength or its water, whichever is slower, then
    / 2 to x 2 about it.

    water_cement : dimensionless, for D1, sorption and sorptivity; cement [kg/m3]
    Source: CEB_FIP_1990 and BAZANT_NAJJAR_1972 for the middle, the facts' band for the spread;
    NEVILLE_1996.
    """
    wet = min(water_cement, facts.WETTEST_WATER_CEMENT)
    draws = Draws(prior.members, seed)
    z = [draws.normal(f"drying law {k}") for k in range(7)]
    fck = moisture_laws.characteristic_MPa(prior.strength_28d_MPa)
    return moisture.Law(
        np.minimum(
            moisture_laws.diffusivity_at_saturation(fck), moisture_laws.diffusivity_by_water(wet)
        )
        * np.exp(facts.D1_SD * z[0]),
        np.clip(facts.ALPHA_MIDDLE * np.exp(facts.ALPHA_SD * z[1]), *facts.ALPHA_RANGE),
        np.clip(facts.HC + facts.HC_SD * z[2], *facts.HC_RANGE),
        facts.TEMPERATURE_Q_R_K * np.exp(facts.Q_R_SD * z[3]),
        facts.SURFACE_MM * np.exp(facts.SURFACE_SD * z[4]),
        np.exp(facts.SORPTION_SD * z[5]),
        sorptivity=np.minimum(
            moisture_laws.sorptivity(wet) * np.exp(facts.SORPTIVITY_SD * z[6]), 1.0
        ),
        water_cement=wet,
        cement_kg_m3=cement,
    )


def hydration_drop(prior: Prior, te_mean_h: Array, water_cement: float, seed: int = ROOT) -> Array:
    """Pore humidity that each member would lose if sealed, dimensionless, (rows, members).

    te_mean_h : (rows, members) [h]; water_cement : dimensionless, added water in it
    Source: NBS_RP_1334 through moisture_laws.sealed_drop; FHP_1977 for the degree of hydration.
    """
    z = Draws(prior.members, seed).normal("self-desiccation")
    age_h = np.maximum(te_mean_h, 1e-3)
    hydrated = degree_of_hydration(age_h, ultimate=1.0, tau_h=prior.tau_h, beta=prior.beta)
    whole = np.minimum(
        moisture_laws.sealed_drop(min(water_cement, facts.WETTEST_WATER_CEMENT), 1.0)
        * np.exp(facts.SELF_SD * z),
        1 - facts.HYDRATION_STOPS_RH - _moisture_stages.LEAST_ROOM,
    )
    drop: Array = whole * hydrated**facts.SELF_POWER
    return np.maximum.accumulate(drop, axis=0)
