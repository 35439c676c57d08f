"""Mixes made of measured figures alone: heat of isothermal runs, strength of tested mixes.

Sources: tests/data/measured/README.md. Between the figures straight or monotone lines; before the
first ones what is said beside them.
"""

import csv
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path

import numpy as np
from scipy.interpolate import PchipInterpolator

from models.units import Array
from tests.support.enthalpy import GAS_J_MOL_K, KELVIN, REFERENCE_K, Hardening

MEASURED = Path(__file__).parents[1] / "data" / "measured"
AGE_H = np.arange(0.0, 800.0, 0.25)
DORMANT_H, DORMANT_PART = 2.0, 0.05  # little of the heat of half a day comes in these; from memory
EARLY_PEAK = 2.6  # after a peak before 12 h no more than this comes by 24 h, of that at 12 h
SET_W_C = 0.26  # degree of hydration at the final set over w/c; Schindler and Folliard 2005
FULL_HEAT_J_G = 480.0  # from memory
SET_PART_MOST = 0.5  # of the heat of day one at the set, where cement and mix are not of one make
SLOWER_SCM = 0.6  # of the heat of slag and ash that is not there on day one, from memory
ENERGY_KJ_MOL = (33.0, 45.0)  # ASTM C1074 and the times to equal heat of Gruyaert 2011
STRENGTH_C = 22.0
SCM_MOST, LEAST_28D_MPA = 0.80, 20.0
BATCH_SD = 0.10  # of the logarithm, batches of one shop; ACI 214R, from memory
# runs by how early their heat comes; 2, 4 and 5 look like one cement and count as one
QUICK = (("calorimetry_data_3.csv",), ("peak_detection_example7.csv",))
USUAL = (
    ("calorimetry_data_1.csv",),
    ("calorimetry_data_2.csv", "calorimetry_data_4.csv", "calorimetry_data_5.csv"),
    ("insitu_bm.csv",),
    ("peak_detection_example4.csv",),
    ("peak_detection_example2.csv",),
)


@dataclass(frozen=True)
class TestedMix:
    """One mix of the file of strengths: kg/m3, MPa by age in days at 22 degC."""

    name: str
    binder_kg_m3: float
    scm: float  # slag and ash over the binder
    water_binder: float
    strength_MPa: dict[int, float]

    @property
    def kind(self) -> str:
        """The class its maker would choose."""
        first = self.strength_MPa[1] / self.strength_MPa[28]
        if self.scm > 0.295:
            return "blended"
        if first >= 0.5:
            return "high-early"
        return "flowing" if self.water_binder <= 0.4 else "general-purpose"


def judges(mix: str) -> bool:
    """Whether a mix is of the half that judges, by a digest of its name; the other half is fitted.

    >>> judges("M2"), judges("M4")
    (False, True)
    """
    return sha256(mix.encode()).digest()[-1] % 2 == 1


@cache
def mixes_of(file_name: str) -> tuple[TestedMix, ...]:
    """All mixes of a file, in its order."""
    found: dict[str, TestedMix] = {}
    with (MEASURED / file_name).open(newline="") as file:
        for row in csv.DictReader(file):
            parts = [float(row[f"{name}_kg_m3"]) for name in ("cement", "fly_ash", "slag")]
            binder = sum(parts)
            wb = float(row["water_binder"])
            mix = TestedMix(row["mix"], binder, 1 - parts[0] / binder, wb, {})
            found.setdefault(mix.name, mix).strength_MPa[int(row["age_d"])] = float(row["MPa"])
    return tuple(found.values())


def tested_mixes() -> tuple[TestedMix, ...]:
    """The usual ones."""
    return mixes_of("strength_by_age_22C.csv")


@cache
def runs() -> dict[str, dict[str, float]]:
    """Isothermal runs by name: J/g after 12, 24, 48, 72 h, hour of the peak; NaN where not told."""
    with (MEASURED / "isothermal_heat_20C.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    return {
        row["run"]: {key: float(row[key] or "nan") for key in row if key != "run"} for row in rows
    }


@cache
def heat_J_g(run: str) -> Array:
    """Heat by age of one run on AGE_H [J a gram of binder], rising throughout.

    Monotone cubic through the measured figures; before 12 h through a dormant time, and where the
    peak was before 12 h a pace that rises evenly up to it. The hours of peak of runs 2, 4 and 5
    stand before less heat than comes after 12 h, and are not used.
    """
    told = runs()[run]
    hours = [hour for hour in (12, 24, 48, 72) if np.isfinite(told[f"q{hour}_J_g"])]
    values = [told[f"q{hour}_J_g"] for hour in hours]
    x, y = [0.0, DORMANT_H], [0.0, DORMANT_PART * values[0]]
    peak = told["peak_h"]
    if 2 * DORMANT_H < peak < hours[0] and not values[1] > EARLY_PEAK * values[0]:
        ramp, rest = peak - DORMANT_H, values[0] - y[1]
        most = rest / (ramp / 2 + hours[0] - peak)
        x += [DORMANT_H + ramp / 2, peak]
        y += [y[1] + most * ramp / 8, y[1] + most * ramp / 2]
    late = min(values[-1] * 1.25, values[-1] + 60.0)  # at a month, little is left
    curve = PchipInterpolator([*x, *hours, AGE_H[-1]], [*y, *values, late])
    return np.asarray(curve(AGE_H))


def at_20(age_h: float, energy_J_mol: float, degrees: float = STRENGTH_C) -> float:
    """Age at 20 degC of a cure at another temperature [h]."""
    pace = np.exp(energy_J_mol / GAS_J_MOL_K * (1 / REFERENCE_K - 1 / (degrees + KELVIN)))
    return float(age_h * pace)


def hardening(
    mix: TestedMix,
    run: str,
    energy_J_mol: float,
    freezing_C: float,
    strength_factor: float = 1.0,
    set_w_c: float = SET_W_C,
) -> Hardening:
    """A tested mix with the heat of a measured cement.

    set_w_c : degree of hydration over w/c at which strength begins

    Strength follows the heat from the final set to day one (linear in the degree of hydration,
    Byfors 1980, from memory) and the logarithm of age between the tests after it.
    """
    heat = heat_J_g(run) * (1 - SLOWER_SCM * mix.scm)
    ages = np.array([at_20(24.0 * day, energy_J_mol) for day in sorted(mix.strength_MPa)])
    tests = np.maximum.accumulate([mix.strength_MPa[day] for day in sorted(mix.strength_MPa)])
    first = float(np.interp(ages[0], AGE_H, heat))
    at_set = min(set_w_c * mix.water_binder * FULL_HEAT_J_G, SET_PART_MOST * first)
    early = tests[0] * np.clip((heat - at_set) / (first - at_set), 0.0, 1.0)
    late = np.interp(np.log(np.maximum(AGE_H, 0.1)), np.log(ages), tests)
    strength = strength_factor * np.where(ages[0] > AGE_H, early, late)
    return Hardening(
        AGE_H,
        1e3 * mix.binder_kg_m3 * heat,
        strength,
        mix.binder_kg_m3,
        mix.binder_kg_m3 * mix.water_binder,
        energy_J_mol,
        freezing_C,
    )


@cache
def judging_mixes() -> tuple[TestedMix, ...]:
    """The half that judges, as far as furniture is cast of it: 20 MPa in the end, no more of slag
    and ash than EN 197-1 lets a common cement have (80 %)."""
    mixes = (mix for mix in mixes_of("strength_by_age_all_22C.csv") if judges(mix.name))
    return tuple(
        mix for mix in mixes if mix.scm <= SCM_MOST and mix.strength_MPa[28] >= LEAST_28D_MPA
    )


def drawn_mix(random: np.random.Generator, kind: str) -> TestedMix:
    """A tested mix of a class."""
    mixes = [mix for mix in tested_mixes() if mix.kind == kind]
    return mixes[random.integers(len(mixes))]


def drawn_hardening(random: np.random.Generator, mix: TestedMix) -> Hardening:
    """What its maker does not know: cement, activation energy, freezing point and batch."""
    cements = QUICK if mix.kind == "high-early" else USUAL
    cement = cements[random.integers(len(cements))]
    run = cement[random.integers(len(cement))]
    energy = 1e3 * random.uniform(*ENERGY_KJ_MOL)
    factor = float(np.exp(BATCH_SD * random.standard_normal()))
    return hardening(mix, run, energy, -random.uniform(0.5, 1.0), factor)
