"""Ice in a section, against Stefan's condition and a solution of the whole section.

Source     STEFAN_1891: latent heat times the rate of ice is the heat that is led away; Raoult's law
           for the water that stays liquid; the same equations by scipy's solve_ivp (BDF) over
           twelve cells, each with its enthalpy.
Page says  a place that loses U (Tf - Ta) grows U (Tf - Ta) / L of ice.
Status     exact mathematics; from memory for the sources.
Tolerance  two lumps against twelve cells: the hour at which a tenth of the water of the outer
           quarter is ice within 20 % or half an hour, whichever is more; a quarter of an hour for
           the time by Stefan's condition (the section cools on a little).
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from models.concrete import frost, heat
from models.concrete import prior as priors
from models.concrete.mixture import Mixture
from models.facts.frost import CRITICAL_ICE, FREEZING_POINT_C, HARMS, LATENT_J_KG
from tests.support import sections

WATER_KG_M3, CELLS, FILM, HOURS = 170.0, 12, 12.0, 60
K, C, TF = 2.0, 2.35e6, FREEZING_POINT_C


def temperature(enthalpy: np.ndarray) -> np.ndarray:
    """Of enthalpy under the freezing point [J/m3]: below it a quadratic."""
    latent = LATENT_J_KG * WATER_KG_M3
    b = C * TF + latent + enthalpy
    with np.errstate(invalid="ignore"):
        cold = (b - np.sqrt(b * b - 4 * C * latent * TF)) / (2 * C)
    return np.where(enthalpy >= 0, TF + enthalpy / C, cold)


def solved_h(thickness_m: float, air_C: float, R_top: float) -> float:
    """Hour at which a tenth of the water in the outer quarter of the section is ice."""
    dx = thickness_m / CELLS
    above = 1 / (1 / FILM + R_top + dx / 2 / K)
    below = 1 / (1 / FILM + dx / 2 / K)

    def change(_: float, H: np.ndarray) -> np.ndarray:
        T = temperature(H)
        flow = np.concatenate(
            ([above * (air_C - T[0])], K / dx * (T[:-1] - T[1:]), [below * (T[-1] - air_C)])
        )
        change_W_m3: np.ndarray = 3600 * (flow[:-1] - flow[1:]) / dx
        return change_W_m3

    start = np.full(CELLS, C * (5.0 - TF))
    times = np.linspace(0, HOURS, 20 * HOURS + 1)
    done = solve_ivp(change, (0, HOURS), start, method="BDF", t_eval=times, rtol=1e-5, atol=10.0)
    T = temperature(done.y)
    ice = np.where(T < TF, 1 - TF / np.minimum(T, TF), 0.0)
    outer = ice[-3:].mean(axis=0)
    return float(np.interp(CRITICAL_ICE, outer, times))


def lumped_h(thickness_m: float, air_C: float, R_top: float) -> float:
    """The same by the two lumps: where even odds of harm among the doubts of the ice are passed."""
    air = np.full(HOURS + 2, air_C)
    schedule = sections.schedule(R_top=R_top, R_side=1e9, board=False)
    exposure = sections.exposure(air, FILM, FILM, HOURS + 1, 2)
    column = heat.Column(1e3 * thickness_m, k_W_mK=K, heat_capacity_J_m3K=C, cells=24)
    inert = heat.Kinetics(*(np.array([v, v]) for v in (0.0, 300.0, 1.0, 40.0, 0.0)))
    through = heat.temperature(column, schedule, exposure, inert, np.array([5.0, 5.0]), HOURS)
    late = priors.draw(Mixture("general-purpose"), 2, 1)
    late = replace(late, dormant_h=np.full(2, 99.0), tau_h=np.full(2, 300.0))
    found = frost.harm(through, frost.Surroundings(column, schedule, exposure, WATER_KG_M3), late)
    return float(np.interp(0.5 * HARMS, found.by[:, 0], through.hour))


@pytest.mark.parametrize("thickness_mm", [35.0, 50.0, 90.0])
@pytest.mark.parametrize("air_C", [-2.0, -4.0, -8.0])
@pytest.mark.parametrize("R_top", [0.0, 0.5])
def test_a_tenth_is_ice_when_the_whole_section_says(
    thickness_mm: float, air_C: float, R_top: float
) -> None:
    exact = solved_h(thickness_mm / 1e3, air_C, R_top)
    assert lumped_h(thickness_mm / 1e3, air_C, R_top) == pytest.approx(exact, rel=0.2, abs=0.5)


def test_ice_grows_as_fast_as_heat_is_led_away() -> None:
    """From a tenth on at -4 degC a thin section holds near its freezing point."""
    thin, air_C = 0.02, -4.0
    per_h = 2 * FILM * 3600 * (TF - air_C) / (LATENT_J_KG * WATER_KG_M3 * thin)
    cooled = solved_h(thin, air_C, 0.0)
    cooling_h = C * thin / (2 * FILM * 3600) * np.log((5.0 - air_C) / (TF - air_C))
    assert cooled - cooling_h == pytest.approx(CRITICAL_ICE / per_h, abs=0.25)
    assert lumped_h(thin, air_C, 0.0) == pytest.approx(cooled, abs=0.6)
