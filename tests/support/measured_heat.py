"""Measured isothermal heats at 20 degC, and the three-parameter curve of each cement.

Sources: tests/data/measured/README.md; the register of SMILAUER_2025. Runs 2, 4 and 5 look like one
cement and count as one; each other run is one.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from models.units import Array
from tests.published.register.smilauer_2025 import RECORDS
from tests.support.measured_mix import runs

HOURS = (12.0, 24.0, 48.0)  # what every cement was measured at
UP_TO_H = 72.0  # as far as nearly all runs go
ALIKE = ("calorimetry_data_2.csv", "calorimetry_data_4.csv", "calorimetry_data_5.csv")
QUICK = ("calorimetry_data_3.csv", "peak_detection_example7.csv", "122", "116")


@dataclass(frozen=True)
class MeasuredHeat:
    """Heat of one cement by age: hours [h], heat [J a gram of binder]."""

    name: str
    hours: Array
    heat_J_g: Array

    def at(self, hour: float) -> float:
        return float(self.heat_J_g[list(self.hours).index(hour)])

    def fitted(self) -> Array:
        """Logarithms of whole heat [J/g], tau [h] and beta, by least squares of ln heat."""

        def off(p: Array) -> Array:
            slow = (np.exp(p[1]) / self.hours) ** np.exp(p[2])
            return np.asarray(p[0] - slow - np.log(self.heat_J_g))

        return np.asarray(least_squares(off, np.log([330.0, 17.0, 1.1])).x)


def cements() -> tuple[MeasuredHeat, ...]:
    """Nine cements: seven of CALOCEM_RUNS, two of SMILAUER_2025."""
    told = runs()
    found: dict[str, MeasuredHeat] = {}
    for name, run in told.items():
        hours = np.array([h for h in (*HOURS, UP_TO_H) if np.isfinite(run[f"q{h:.0f}_J_g"])])
        same = ALIKE if name in ALIKE else (name,)
        heats = [np.mean([told[one][f"q{h:.0f}_J_g"] for one in same]) for h in hours]
        found[same[0]] = MeasuredHeat(same[0], hours, np.array(heats))
    for record, (ages, measured, _) in RECORDS.items():
        near = np.array(ages) <= UP_TO_H
        one = MeasuredHeat(str(record), np.array(ages)[near], np.array(measured)[near])
        found[one.name] = one
    return tuple(found.values())
