"""Heat of a mix as it is known: the middle and the spread of its curve."""

from dataclasses import dataclass, replace
from operator import truediv

import numpy as np

from models.concrete import composition
from models.concrete.mixture import Mixture
from models.facts import cements
from models.facts import composition as cement_facts

GIVEN_ENERGY_SD = 2.0  # kJ/mol, from the cubes of a fit to the piece; the fit's error comes besides


@dataclass(frozen=True)
class Hydration:
    """Middle and spread of the heat curve, kJ/mol, kJ/kg, h; sd of the logarithm but energy's."""

    energy_kJ_mol: float
    heat_kJ_kg: float
    tau_h: float
    beta: float
    energy_sd: float = cements.CLASS_ENERGY_SD
    heat_sd: float = cements.HEAT_SD
    tau_sd: float = cements.TAU_SD
    beta_sd: float = cements.BETA_SD


def hydration(mixture: Mixture) -> Hydration:
    """Of a mixture: what the maker told, else what the composition gives, else the class.

    Source: SCHINDLER_FOLLIARD_2005 for the form and what a composition gives; facts.cements.
    """
    found = _composed(mixture)
    if mixture.activation_energy_kJ_mol is not None:
        energy_sd = float(np.hypot(GIVEN_ENERGY_SD, mixture.activation_energy_error_kJ_mol or 0.0))
        found = replace(found, energy_kJ_mol=mixture.activation_energy_kJ_mol, energy_sd=energy_sd)
    if mixture.heat_kJ_kg is not None:
        heat = mixture.heat_kJ_kg * (mixture.hydration_ultimate or 1.0)
        found = replace(found, heat_kJ_kg=heat, heat_sd=cements.HEAT_SD)
    if mixture.hydration_tau_h is not None:
        found = replace(found, tau_h=mixture.hydration_tau_h, tau_sd=cements.TAU_SD)
    if mixture.hydration_beta is not None:
        found = replace(found, beta=mixture.hydration_beta, beta_sd=cements.BETA_SD)
    return found


def _composed(mixture: Mixture) -> Hydration:
    """The class; of a sheet of the mill, general use times what the regressions make of it beside a
    usual type I: they know how cements differ better than where they lie."""
    kind, cement = cements.CLASSES[mixture.kind], mixture.cement
    energy, energy_sd = kind.activation_energy_kJ_mol, cements.CLASS_ENERGY_SD
    if cement is None:
        return Hydration(
            energy, kind.heat_kJ_kg, kind.hydration_tau_h, kind.hydration_beta, heat_sd=kind.heat_sd
        )
    usual, usual_kind = composition.Composition(), cements.CLASSES["general-purpose"]
    regressed, of_usual = (composition.activation_energy(one) for one in (cement, usual))
    if regressed is not None and of_usual is not None:
        energy = usual_kind.activation_energy_kJ_mol + regressed - of_usual
        energy_sd = cement_facts.ENERGY_SD_KJ_MOL
    degree = mixture.hydration_ultimate or composition.ultimate(
        cement, mixture.resolved().water_cement
    )
    whole = composition.total_heat(usual) * composition.ultimate(usual, usual_kind.water_cement)
    heat = usual_kind.heat_kJ_kg * composition.total_heat(cement) * degree / whole
    times = (composition.time_constant(one, energy) for one in (cement, usual))
    slopes = (composition.slope(one) for one in (cement, usual))
    spreads = (energy_sd, cement_facts.HEAT_SD, cement_facts.TAU_SD, cement_facts.BETA_SD)
    return Hydration(
        energy,
        heat,
        usual_kind.hydration_tau_h * truediv(*times),
        usual_kind.hydration_beta * truediv(*slopes),
        *spreads,
    )
