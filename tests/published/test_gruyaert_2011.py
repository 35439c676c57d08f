"""How much longer heat, set and the same age take in the cold and in the warm.

Source     GRUYAERT_2011 (times to equal heat); PCA_RD113 and SCHINDLER_2003 (set).
Page says  10 against 20 C 1.57 to 1.81, 20 against 35 C 1.64 to 1.84, 10 against 35 C 2.6 to 3.3;
           initial set at 10 C up to 1.95 of that at 23 C, at 32 C down to 0.68; a mixture sets at
           one degree of hydration whatever its temperatures were.
Status     second-hand: read from the curves of the thesis, and from the abstract of the bulletin.
Tolerance  the median of the members lies within the spans; set no further than its ends, and
           within a tenth of them.
"""

import numpy as np
import pytest

from models.concrete import prior
from models.concrete.mixture import Mixture
from tests.published.register.gruyaert_2011 import longer, mix


@pytest.mark.parametrize(
    ("cold", "warm", "low", "high"),
    [(10.0, 20.0, 1.57, 1.81), (20.0, 35.0, 1.64, 1.84), (10.0, 35.0, 2.6, 3.3)],
)
def test_time_to_equal_heat(cold: float, warm: float, low: float, high: float) -> None:
    assert low <= np.median(longer(cold, warm)) <= high
    tenth, ninth = np.quantile(longer(cold, warm), [0.1, 0.9])
    assert tenth <= low * 1.02
    assert ninth >= high


def test_set_in_the_cold_and_in_the_warm() -> None:
    assert 0.9 * 1.95 <= np.median(longer(10.0, 23.0)) <= 1.95
    assert 0.68 <= 1 / np.median(longer(23.0, 32.0)) <= 0.68 / 0.9


def test_a_told_energy_holds_at_every_temperature() -> None:
    told = prior.draw(Mixture("general-purpose", activation_energy_kJ_mol=36.0), 2048, 4)
    assert (told.rise_kJ_mol_K == 0.0).all()
    spread = told.activation_energy_kJ_mol
    assert np.median(spread) == pytest.approx(36.0, abs=0.2)
    assert spread.std() < mix("general-purpose").activation_energy_kJ_mol.std()
