"""Classes of mix: kinetics, heat, set and strength gain, each with its spread.

A row is what is assumed when the maker says no more than the class. Spreads are one standard
deviation, as a share unless the unit says otherwise.

The s of a strength gain is that of EN 1992-1-1 for a 28-day strength of 35 MPa of Portland cement;
it falls with that strength to the power GAIN_POWER and rises with the share of slag and ash in the
binder. The rate constant of the strength curve is 28 d x s^2 and its exponent 0.5 in the standard
(see concrete.strength).

Between sources s differs as much as between the classes of the standard. Fitted with one power and
one slope it is 0.31 for the mixes of YEH_1998, 0.18 and 0.21 for the two cements of
BOXCRETE_STRENGTH; ACI_209R has 0.37 for type I, EN_1992_1_1 from 0.20 to 0.38. A cement of which
nothing is known lies among them. Fitted on the half of the mixes of both sets whose digest is even
(tests/bench/held_half.py; tests/published/test_early_label.py tells how the other half fares).

The heat of a class is that of nine cements, 7 of CALOCEM_RUNS and 2 of SMILAUER_2025, each fitted from 6
or 12 to 72 h: middle 326 J/g, 17.3 h, 1.19. A bag of general use does not say which cement is in it
and has the middle of all; a high-early one has that of the four quickest (368 J/g, 15.0 h, 1.14), two
of them known as CEM I 52.5 R, which lie closer in heat. tests/support/measured_heat.py fits them.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class StrengthGain:
    """Coefficient s and its spread (of the logarithm); exponent of the curve and its spread.

    fixed : a mix of its own kind, to which strength, cement class, slag and ash say nothing
    """

    s: float
    s_spread: float
    exponent: float = 0.45
    exponent_spread: float = 0.07
    fixed: bool = False


PLAIN_PORTLAND = StrengthGain(0.295, 0.30)
# YEH_1998 and BOXCRETE_STRENGTH, the half with an even digest
GAIN_POWER = -0.55
# a label number younger than 28 days scatters more by this power of 28 days over its age, before
# 72 h no more than then, 0.15; about the curve of its own mix it is 0.12 after 3 days in
# BOXCRETE_STRENGTH, the rest between batches OWN_JUDGEMENT
YOUNG_SCATTER, SCATTERED_H = 0.35, 72.0
GAIN_OF_SUPPLEMENT = 1.05  # rise of ln s from no slag and ash to nothing else: YEH_1998
GAIN_OF_SUPPLEMENT_SD = 0.75  # ash rises less than slag in YEH_1998, more in BOXCRETE_STRENGTH
# exponent by mix, of blended ones: BOXCRETE_STRENGTH, the half with an even digest
EXPONENT_OF_SUPPLEMENT_SD = 0.35
SUPPLEMENT_SPREAD = 0.6  # of the share of slag and ash where it is not told: YEH_1998
# s by the strength class of the cement of EN 197-1, CONCRETE_SOCIETY_1058; the standard says nothing
# of low early strength (L): OWN_JUDGEMENT
CEMENT_CLASSES: dict[str, float] = {
    "32.5L": 0.38,
    "32.5N": 0.38,
    "32.5R": 0.25,
    "42.5L": 0.38,
    "42.5N": 0.25,
    "42.5R": 0.20,
    "52.5L": 0.25,
    "52.5N": 0.20,
    "52.5R": 0.20,
}
CEMENT_CLASS_SPREAD = 0.22  # of ln s between mixes of one cement, YEH_1998 at 3 and 7 days


@dataclass(frozen=True, kw_only=True)
class MixClass:
    """Defaults of one class; h at 20 degC, kJ/kg of cement, kg/m3."""

    cement_kg_m3: float
    water_cement: float
    heat_kJ_kg: float  # heat at the end, Hu x ultimate degree, of which `ultimate` is the degree
    hydration_tau_h: float
    hydration_beta: float
    heat_sd: float = 0.155
    activation_energy_kJ_mol: float = 30.5  # over 20 degC
    initial_set_h: float
    final_set_h: float
    gain: StrengthGain
    strength_MPa_28d: float
    supplement: float = 0.0  # slag and ash, share of the binder, where it is not told
    bleeds: bool
    cube_warms_K: float = 1.0  # how far a label cube runs over its room while it gains strength
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Admixture:
    """By what an admixture at its usual dose multiplies set and hydration time, and its spread."""

    set_factor: float
    tau_factor: float
    spread: float  # of the logarithm of both
    sources: tuple[str, ...]


ADMIXTURES: dict[str, Admixture] = {
    "accelerator": Admixture(0.65, 0.75, 0.15, ("TYPICAL_SHEET",)),
    "retarder": Admixture(1.6, 1.3, 0.20, ("TYPICAL_SHEET",)),
    "plasticiser": Admixture(1.15, 1.1, 0.10, ("TYPICAL_SHEET",)),
}

CLASSES: dict[str, MixClass] = {
    "general-purpose": MixClass(
        cement_kg_m3=330.0,
        water_cement=0.52,
        heat_kJ_kg=325.0,
        hydration_tau_h=17.3,
        hydration_beta=1.19,
        initial_set_h=4.5,
        final_set_h=7.0,
        gain=PLAIN_PORTLAND,
        strength_MPa_28d=28.0,
        bleeds=True,
        sources=(
            "CALOCEM_RUNS",
            "SMILAUER_2025",
            "YEH_1998",
            "EN_1992_1_1",
            "ACI_209R",
            "OWN_JUDGEMENT",
        ),
    ),
    "high-early": MixClass(
        cement_kg_m3=400.0,
        water_cement=0.45,
        heat_kJ_kg=370.0,
        heat_sd=0.07,
        hydration_tau_h=15.0,
        hydration_beta=1.14,
        initial_set_h=3.2,
        final_set_h=5.0,
        gain=StrengthGain(0.25, 0.25),
        strength_MPa_28d=40.0,
        bleeds=True,
        sources=("CALOCEM_RUNS", "SMILAUER_2025", "ACI_209R", "EN_1992_1_1", "OWN_JUDGEMENT"),
    ),
    "rapid-setting": MixClass(
        cement_kg_m3=420.0,
        water_cement=0.42,
        heat_kJ_kg=400.0,
        hydration_tau_h=2.5,
        hydration_beta=1.1,
        initial_set_h=0.4,
        final_set_h=0.6,
        gain=StrengthGain(0.065, 0.3, 0.5, fixed=True),
        strength_MPa_28d=43.0,
        bleeds=False,
        cube_warms_K=12.0,
        sources=("ASTM_C928", "OWN_JUDGEMENT"),
    ),
    "glass-fibre": MixClass(
        cement_kg_m3=750.0,
        water_cement=0.33,
        heat_kJ_kg=350.0,
        hydration_tau_h=15.0,
        hydration_beta=1.14,
        initial_set_h=3.5,
        final_set_h=5.5,
        gain=PLAIN_PORTLAND,
        strength_MPa_28d=50.0,
        bleeds=False,
        sources=("YEH_1998", "EN_1992_1_1", "OWN_JUDGEMENT"),
    ),
    "flowing": MixClass(
        cement_kg_m3=420.0,
        water_cement=0.42,
        heat_kJ_kg=325.0,
        hydration_tau_h=17.3,
        hydration_beta=1.19,
        initial_set_h=5.5,
        final_set_h=8.0,
        gain=PLAIN_PORTLAND,
        strength_MPa_28d=42.0,
        bleeds=False,
        sources=("CALOCEM_RUNS", "SMILAUER_2025", "YEH_1998", "EN_1992_1_1", "OWN_JUDGEMENT"),
    ),
    "blended": MixClass(
        cement_kg_m3=380.0,
        water_cement=0.48,
        heat_kJ_kg=290.0,
        hydration_tau_h=23.8,
        hydration_beta=1.04,
        activation_energy_kJ_mol=34.0,
        initial_set_h=6.0,
        final_set_h=9.0,
        gain=PLAIN_PORTLAND,
        strength_MPa_28d=32.0,
        supplement=0.4,
        bleeds=True,
        sources=("YEH_1998", "OWN_JUDGEMENT"),
    ),
}

# Strength begins between the initial and the final set, which come at these degrees of hydration over
# the water / cement: SCHINDLER_2003, the figures from memory; from there it follows the degree of
# hydration to day one, BYFORS_1980. Of the heat of all of a usual cement (SCHINDLER_FOLLIARD_2005)
SET_DEGREE = (0.15, 0.26)
WHOLE_HEAT_KJ_KG = 480.0
SET_OF_DAY_ONE = 0.5  # of the degree of day one at most: where set and heat disagree, OWN_JUDGEMENT

# from here strength curves count, in EN_1992_1_1 from placing: what the fitted half of
# BOXCRETE_STRENGTH has on day one is 1.08 of what is told by half of the set, 1.17 by all of it,
# 1.03 by none
DORMANT_FRACTION = 0.5  # of the initial set

# Temperature. Equal heat of a CEM I paste takes 1.64 to 1.84 as long at 20 degC as at 35 (25 to 30
# kJ/mol; 1.92, 33, from 60 to 200 J/g) and 1.57 to 1.81 as long at 10 as at 20 (31 to 41): GRUYAERT_2011.
# Others over all of it: 32 (ZAKOUTSKY_2012), 33 (CEB_FIP_CHARACTERISTIC), 35 to 41
# (NIST_BENTZ_TABLE_IX). So 30.5 over 20 degC, and under it for each kelvin as much more as gives 37
# at 10; members have from nothing (one energy, ASTM_C1074) to twice that (FHP_1977: 1.47). Set
# keeps the same law: it comes at one degree of hydration (SCHINDLER_2003), and is with it 1.94
# and 0.69 of that at 23 degC at 10 and 32, where up to 1.95 and down to 0.68 was seen (PCA_RD113).
COLD_KJ_PER_K = 0.65
# What grows over 20 degC is weaker in the end by this share a kelvin: a concrete of 40 degC had 1.18 of
# its strength at 20 after 3 days, and after two years one of 12 degC 1.13 of it (KALETA_2020); 2 to
# 31 % are lost at 40 to 60 degC (YOUSUF_2019), 10 % in 10 K (HOT_CONCRETE). Spread: of the logarithm
HOT_LOSS_PER_K, HOT_LOSS_SPREAD = 0.005, 0.5
HOT_LOSS_MOST_K = 15.0  # hotter costs no more: of two pieces the colder is never the earlier
CLASS_ENERGY_SD = 4.5  # kJ/mol, between the sources named
TAU_SD, BETA_SD = 0.195, 0.245  # between nine cements, and what nine tell of a tenth (as heat_sd)
HEAT_SD = 0.08  # of a heat that is told: cements of one kind, SMILAUER_2025
REFERENCE_28D_MPA = 35.0  # strength to which s of a class belongs: OWN_JUDGEMENT

# strength counts no equivalent age beyond this: YEH_1998 at 180 to 365 days has what it had at 100,
# plain 1.19 and 1.20 of 28 days, with slag or ash 1.30 and 1.31
LATEST_GAIN_H = 2400.0

# ln of the 28-day strength [MPa] at water / binder 0, per unit of water / binder, of slag and of
# ash in the binder; and what it misses: YEH_1998, half of the mixes, beside 0.12 between sources
STRENGTH_BY_WATER = (4.90, -2.60)
STRENGTH_OF_SLAG, STRENGTH_OF_FLY_ASH = -0.23, -0.95
STRENGTH_BY_WATER_SD, STRENGTH_BY_BINDER_SD = 0.20, 0.25

BATCH_SD = 0.12  # hand mixing, ACI_214R fair field control
