"""What frost does to fresh concrete.

Source     MCNEESE_1952, the abstract; CONCRETE_PRODUCER for where hydration ends.
Page says  cylinders cast at 40 F lost 50 % of their strength at 25 F; 50 % was about the maximum;
           neither the time they stayed frozen nor the temperature then mattered much. Hydration
           halts completely under 14 F.
Status     page.
Tolerance  chance of harm over 85 %, since a tenth is kept for what nobody foresees; 0.2 K for 14 F.
           Not met and kept on the safe side: cylinders cast at 72 F bore 15 F after six hours,
           before 3.5 MPa; the limit stays that of ACI 306R.
"""

import numpy as np
import pytest

from models.concrete import frost, heat, maturity
from models.concrete import prior as priors
from models.concrete.mixture import Mixture
from models.facts.frost import HYDRATION_ENDS_C, LEAST_LEFT
from tests.support import sections

MEMBERS = 32


def harmed(placed_F: float, air_F: float, hours: int = 48) -> tuple[float, float]:
    """Chance of harm, and how deep it froze, of a section as thick as a cylinder."""
    mix = priors.draw(Mixture("general-purpose"), MEMBERS, 3)
    air = np.full(hours + 2, (air_F - 32) * 5 / 9)
    schedule = sections.schedule(board=False)
    exposure = sections.exposure(air, 15.0, 15.0, hours + 1, MEMBERS)
    column = heat.Column(150.0)
    kinetics = heat.Kinetics(
        mix.cement_kg_m3 * mix.heat_kJ_kg * 1e3,
        mix.tau_h,
        mix.beta,
        mix.activation_energy_kJ_mol,
        mix.rise_kJ_mol_K,
    )
    placed = np.full(MEMBERS, (placed_F - 32) * 5 / 9)
    through = heat.temperature(column, schedule, exposure, kinetics, placed, hours)
    found = frost.harm(through, frost.Surroundings(column, schedule, exposure, 170.0), mix)
    return float(found.by[-1].mean()), float(found.depth.mean())


def test_a_mild_frost_harms_what_was_cast_cold() -> None:
    chance, depth = harmed(40.0, 25.0)
    assert chance > 0.85
    assert depth > 0.9, "frozen through"
    assert harmed(40.0, 33.0)[0] < 0.01


def test_half_of_the_strength_is_the_most_that_is_lost() -> None:
    assert LEAST_LEFT == 0.5


def test_hydration_ends_at_14_fahrenheit() -> None:
    assert pytest.approx((14 - 32) * 5 / 9, abs=0.2) == HYDRATION_ENDS_C
    falling = maturity.rate([-1.0, -3.0, -6.0, -9.9, -10.0, -30.0], activation_energy_kJ_mol=40.0)
    assert np.all(np.diff(falling[:5]) < 0)
    assert falling[4] == falling[5] == 0.0
