"""How heat, set and strength of ordinary mixes go with temperature, in the median of members."""

from functools import cache

import numpy as np

from models.concrete import maturity, prior
from models.concrete.mixture import Mixture
from models.units import Array
from tests.published.register.check import Check

DAYS = np.array([0.0, 1.0, 2.0, 3.0, 7.0, 28.0, 90.0, 730.0])
KALETA = (  # days, degC, degC, strength there over strength here, tolerance
    (3.0, 12.0, 20.0, 0.89, "0.06"),
    (3.0, 40.0, 20.0, 1.18, "0.06"),
    (730.0, 12.0, 40.0, 1.13, "0.08"),
)
# middle of the span, and half of it
EQUAL_HEAT = ((10.0, 20.0, 1.69, "0.12"), (20.0, 35.0, 1.74, "0.10"), (10.0, 35.0, 2.95, "0.35"))


@cache
def mix(kind: str) -> prior.Prior:
    return prior.draw(Mixture(kind), 2048, 4)


def pace(kind: str, degrees: float) -> Array:
    """Equivalent hours at 20 degC an hour, by member."""
    drawn = mix(kind)
    return maturity.rate(
        degrees,
        activation_energy_kJ_mol=drawn.activation_energy_kJ_mol,
        rise_kJ_mol_K=drawn.rise_kJ_mol_K,
    )


def longer(cold_C: float, warm_C: float) -> Array:
    """How much longer than at warm_C the same heat or set takes at cold_C, by member."""
    return np.asarray(pace("general-purpose", warm_C) / pace("general-purpose", cold_C))


def grown(degrees: float, days: float) -> Array:
    """Strength of a high-early mix that hardens at one temperature [MPa], by member."""
    age_h = 24.0 * DAYS[:, None] * pace("high-early", degrees)
    history = mix("high-early").grown(age_h, np.full_like(age_h, degrees))
    return np.asarray(history[list(DAYS).index(days)])


def _longer(
    source: str,
    of: str,
    there_C: float,
    here_C: float,
    times: float,
    tolerance: str,
    printed: str,
) -> Check:
    return Check(
        source,
        f"{of} at {there_C:g} to that at {here_C:g} degC",
        "-",
        times,
        lambda: float(np.median(longer(there_C, here_C))),
        tolerance,
        "second-hand",
        f"{printed}; beside it the median of members",
    )


def _equal_heat(cold_C: float, warm_C: float, times: float, tolerance: str) -> Check:
    printed = "middle of the span of the curves of a CEM I paste"
    return _longer("GRUYAERT_2011", "time to equal heat", cold_C, warm_C, times, tolerance, printed)


def _initial_set(there_C: float, times: float, tolerance: str) -> Check:
    printed = "the furthest that was seen"
    return _longer("PCA_RD113", "initial set", there_C, 23.0, times, tolerance, printed)


def _strength(days: float, there: float, here: float, times: float, tolerance: str) -> Check:
    return Check(
        "KALETA_2020",
        f"strength after {days:g} d at {there:g} to that at {here:g} degC",
        "-",
        times,
        lambda: float(np.median(grown(there, days) / grown(here, days))),
        tolerance,
        "page",
        "abstract; one concrete beside the median of high-early members",
    )


CHECKS = (
    *(_equal_heat(*row) for row in EQUAL_HEAT),
    _initial_set(10.0, 1.95, "0.15"),
    _initial_set(32.0, 0.68, "0.05"),
    *(_strength(*row) for row in KALETA),
)
