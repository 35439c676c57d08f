"""Classes of mix: kinetics, heat, set and strength gain, each with its spread.

A row is what is assumed when the maker says no more than the class. Spreads are one standard
deviation, as a share unless the unit says otherwise.

strength_s is the coefficient s of EN 1992-1-1: the rate constant of the strength curve is
28 d x s^2 (see concrete.strength); 0.20 rapid, 0.25 normal, 0.38 slow cement.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class MixClass:
    """Defaults of one class; h at 20 degC, kJ/kg of cement, kg/m3."""

    words: str
    cement_kg_m3: float
    water_cement: float
    heat_kJ_kg: float  # heat at the end, Hu x ultimate degree, of which `ultimate` is the degree
    hydration_tau_h: float
    hydration_beta: float
    activation_energy_kJ_mol: float
    initial_set_h: float
    final_set_h: float
    strength_s: float
    strength_s_spread: float
    strength_MPa_28d: float
    frost_rapid: bool  # Type III, accelerated or extra cement: shorter protection in ACI 306R
    bleeds: bool
    sources: tuple[str, ...]


CLASSES: dict[str, MixClass] = {
    "general-purpose": MixClass(
        "ordinary bagged or site mix",
        330.0,
        0.52,
        380.0,
        16.0,
        0.80,
        40.0,
        4.5,
        7.0,
        0.36,
        0.18,
        28.0,
        False,
        True,
        ("SMILAUER_2025", "YEH_1998", "EN_1992_1_1", "ACI_209R", "OWN_JUDGEMENT"),
    ),
    "high-early": MixClass(
        "high-early-strength bag or cement",
        400.0,
        0.45,
        400.0,
        13.0,
        0.90,
        40.0,
        3.2,
        5.0,
        0.22,
        0.20,
        40.0,
        True,
        True,
        ("SMILAUER_2025", "EN_1992_1_1", "OWN_JUDGEMENT"),
    ),
    "rapid-setting": MixClass(
        "rapid-setting bag, calcium sulfoaluminate type",
        420.0,
        0.42,
        400.0,
        2.5,
        1.10,
        40.0,
        0.40,
        0.60,
        0.065,
        0.30,
        42.0,
        True,
        False,
        ("ASTM_C928", "OWN_JUDGEMENT"),
    ),
    "glass-fibre": MixClass(
        "fine glass-fibre mix, sprayed or cast",
        750.0,
        0.33,
        370.0,
        14.0,
        0.85,
        40.0,
        3.5,
        5.5,
        0.24,
        0.20,
        50.0,
        True,
        False,
        ("EN_1992_1_1", "OWN_JUDGEMENT"),
    ),
    "flowing": MixClass(
        "self-batched flowing mix with plasticiser",
        420.0,
        0.42,
        380.0,
        16.0,
        0.85,
        40.0,
        5.5,
        8.0,
        0.28,
        0.20,
        42.0,
        False,
        False,
        ("SMILAUER_2025", "EN_1992_1_1", "OWN_JUDGEMENT"),
    ),
    "blended": MixClass(
        "mix with slag or fly ash",
        380.0,
        0.48,
        340.0,
        22.0,
        0.70,
        44.0,
        6.0,
        9.0,
        0.42,
        0.20,
        32.0,
        False,
        True,
        ("YEH_1998", "OWN_JUDGEMENT"),
    ),
}
