"""Heat of a mix from what its cement consists of: the regressions of Schindler and Folliard."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass

import numpy as np

from models.concrete.hydration import ultimate_degree
from models.errors import InputError
from models.facts import composition as facts
from models.facts.composition import RANGES
from models.units import GAS_J_MOLK, KELVIN, number_within


@dataclass(frozen=True)
class Composition:
    """A cement and what is blended with it, in per cent of mass; what is not told is type I.

    Phases by Bogue and oxides are shares of the Portland cement, slag and fly ash of the binder.
    """

    C3S_pct: float = RANGES["C3S_pct"][2]
    C2S_pct: float = RANGES["C2S_pct"][2]
    C3A_pct: float = RANGES["C3A_pct"][2]
    C4AF_pct: float = RANGES["C4AF_pct"][2]
    SO3_pct: float = RANGES["SO3_pct"][2]
    free_CaO_pct: float = RANGES["free_CaO_pct"][2]
    MgO_pct: float = RANGES["MgO_pct"][2]
    blaine_m2_kg: float = RANGES["blaine_m2_kg"][2]
    slag_pct: float = RANGES["slag_pct"][2]
    fly_ash_pct: float = RANGES["fly_ash_pct"][2]
    fly_ash_CaO_pct: float = RANGES["fly_ash_CaO_pct"][2]

    def __post_init__(self) -> None:
        for name, value in asdict(self).items():
            low, high, _ = RANGES[name]
            number_within(name, value, low, high, "m2/kg" if name == "blaine_m2_kg" else "%")
        whole = sum(getattr(self, name) for name in facts.CLINKER)
        if not facts.LEAST_CLINKER_PCT <= whole <= 100.0:
            raise InputError(
                "C3S_pct",
                self.C3S_pct,
                f"with all else on the sheet it makes {whole:.4g} % of the cement",
                f"all of {', '.join(facts.CLINKER)} of one sheet, together "
                f"{facts.LEAST_CLINKER_PCT:g} to 100 %",
            )
        blended = self.slag_pct + self.fly_ash_pct
        if blended > 100.0 - facts.LEAST_PORTLAND_PCT:
            raise InputError(
                "slag_pct",
                self.slag_pct,
                f"with the fly ash {blended:.4g} % of the binder",
                f"slag and fly ash together at most {100.0 - facts.LEAST_PORTLAND_PCT:g} %",
            )
        (least, most), tau_h = facts.TAU_REACH_H, time_constant(self, 40.0)
        if not least <= tau_h <= most:
            raise InputError(
                "blaine_m2_kg",
                self.blaine_m2_kg,
                f"with the rest of the sheet it gives a hydration time of {tau_h:.3g} h",
                f"a cement and binder of {least:g} to {most:g} h",
            )

    def fraction(self, name: str) -> float:
        """A part of the cement or binder, dimensionless."""
        return float(getattr(self, name)) / 100.0


def heat_of(parts_pct: Mapping[str, float]) -> float:
    """Heat of parts of a cement when all of them have reacted [kJ/kg of cement].

    parts_pct : per cent of the cement by field of Composition, phases and oxides

    Source: SCHINDLER_FOLLIARD_2005.

    >>> heat_of({"C3S_pct": 50.0, "C2S_pct": 25.0})
    315.0
    """
    return sum(facts.HEAT_KJ_KG[name] * fraction / 100.0 for name, fraction in parts_pct.items())


def total_heat(made_of: Composition) -> float:
    """Heat of a binder when all of it has reacted [kJ/kg of binder].

    Source: SCHINDLER_FOLLIARD_2005.

    >>> round(total_heat(Composition()), 1)
    484.6
    """
    cement = heat_of({name: getattr(made_of, name) for name in facts.CLINKER})
    slag, ash = made_of.fraction("slag_pct"), made_of.fraction("fly_ash_pct")
    return (
        cement * (1.0 - slag - ash)
        + facts.SLAG_HEAT_KJ_KG * slag
        + facts.FLY_ASH_CAO_HEAT_KJ_KG * made_of.fraction("fly_ash_CaO_pct") * ash
    )


def ultimate(made_of: Composition, water_binder: float) -> float:
    """Degree of hydration at the end, dimensionless, at most 1; water_binder 0.2 to 1.0.

    Source: MILLS_1966 for the cement, SCHINDLER_FOLLIARD_2005 for slag and ash.

    >>> round(ultimate(Composition(slag_pct=40.0), 0.45), 4)
    0.8404
    """
    slag, ash = made_of.fraction("slag_pct"), made_of.fraction("fly_ash_pct")
    more = facts.SLAG_MORE * slag + facts.ASH_MORE * ash
    return min(float(ultimate_degree(water_binder)) + more, 1.0)


def activation_energy(made_of: Composition) -> float | None:
    """Activation energy of hydration [kJ/mol]; None where the ferrite lies outside the data.

    Source: SCHINDLER_FOLLIARD_2005 (the regression of Schindler 2004).

    >>> round(activation_energy(Composition()), 1)
    46.7
    """
    if made_of.C4AF_pct < facts.LEAST_C4AF_FOR_ENERGY_PCT:
        return None
    scale, C3A, C4AF, blaine, by_ash, of_CaO, by_slag = facts.ENERGY
    ash = made_of.fraction("fly_ash_pct") * (1.0 - made_of.fraction("fly_ash_CaO_pct") / of_CaO)
    blended = 1.0 - by_ash * ash + by_slag * made_of.fraction("slag_pct")
    phases = made_of.fraction("C3A_pct") ** C3A * made_of.fraction("C4AF_pct") ** C4AF
    return float(scale * blended * phases * made_of.blaine_m2_kg**blaine)


def time_constant(made_of: Composition, activation_energy_kJ_mol: float) -> float:
    """tau of the hydration curve [h at 20 degC].

    activation_energy_kJ_mol : [kJ/mol], takes the regression from its 21.1 degC to 20 degC

    Source: SCHINDLER_FOLLIARD_2005.

    >>> round(time_constant(Composition(), 40.0), 1)
    15.9
    """
    ash = made_of.fraction("fly_ash_pct") * made_of.fraction("fly_ash_CaO_pct")
    by_slag, by_ash = facts.TAU[5:]
    blended = np.exp(by_slag * made_of.fraction("slag_pct") + by_ash * ash)
    warm = _of_cement(made_of, facts.TAU) * blended
    per_K = 1.0 / (KELVIN + 20.0) - 1.0 / (KELVIN + facts.REGRESSION_REFERENCE_C)
    return float(warm * np.exp(activation_energy_kJ_mol * 1e3 / GAS_J_MOLK * per_K))


def slope(made_of: Composition) -> float:
    """beta of the hydration curve, dimensionless.

    Source: SCHINDLER_FOLLIARD_2005.

    >>> round(slope(Composition()), 3)
    0.673
    """
    by_slag = facts.BETA[5]
    return float(_of_cement(made_of, facts.BETA) * np.exp(by_slag * made_of.fraction("slag_pct")))


def _of_cement(made_of: Composition, regression: Sequence[float]) -> float:
    """The powers of a regression, in its own unit: scale, C3A, C3S, Blaine, SO3 come first."""
    scale, C3A, C3S, blaine, SO3 = regression[:5]
    return float(
        scale
        * made_of.fraction("C3A_pct") ** C3A
        * made_of.fraction("C3S_pct") ** C3S
        * made_of.blaine_m2_kg**blaine
        * made_of.fraction("SO3_pct") ** SO3
    )
