"""Heat of measured cements at 20 degC against bands: of the other cements, and of the program."""

from collections.abc import Iterable

import numpy as np

from models.concrete import hydration, prior
from models.concrete.mixture import Mixture
from models.draws import Draws
from models.planning.honesty import Share
from models.units import Array
from tests.support.measured_heat import QUICK, MeasuredHeat

AT_H = (6.0, 12.0, 24.0, 48.0)
WISH = (0.75, 0.90)
Curve = tuple[Array, Array, Array]  # whole heat [J/g], tau [h], beta of the members


def of_the_others(found: tuple[MeasuredHeat, ...], k: int) -> Curve:
    """Drawn of the fits to all but one cement."""
    fits = np.array([one.fitted() for j, one in enumerate(found) if j != k])
    draws = Draws(2048, 5)
    z = np.array([draws.normal(name) for name in ("heat", "tau", "beta")])
    spread = fits.std(axis=0, ddof=1) * np.sqrt(1 + 1 / len(fits))
    heat, tau, beta = np.exp(fits.mean(axis=0)[:, None] + spread[:, None] * z)
    return heat, tau, beta


def of_the_class(one: MeasuredHeat) -> Curve:
    mix = prior.draw(Mixture("high-early" if one.name in QUICK else "general-purpose"), 2048, 3)
    return mix.heat_kJ_kg, mix.tau_h, mix.beta


def band(hour: float, curve: Curve) -> tuple[float, float]:
    heat, tau, beta = curve
    J_g = heat * hydration.degree_of_hydration(hour, ultimate=1.0, tau_h=tau, beta=beta)
    low, high = np.quantile(J_g, [0.1, 0.9])
    return float(low), float(high)


def inside(found: Iterable[tuple[MeasuredHeat, Curve]], hours: tuple[float, ...]) -> Share:
    held = [
        low <= one.at(hour) <= high
        for one, curve in found
        for hour in hours
        if hour in one.hours
        for low, high in [band(hour, curve)]
    ]
    return Share(sum(held), len(held))
