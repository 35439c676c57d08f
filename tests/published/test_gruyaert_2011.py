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

from models.concrete import maturity, prior
from models.concrete.mixture import Mixture


@pytest.fixture(scope="module")
def mix() -> prior.Prior:
    return prior.draw(Mixture("general-purpose"), 2048, 4)


def longer(mix: prior.Prior, cold_C: float, warm_C: float) -> np.ndarray:
    """How much longer than at warm_C the same takes at cold_C, by member."""
    cold, warm = (
        maturity.rate(
            degrees,
            activation_energy_kJ_mol=mix.activation_energy_kJ_mol,
            rise_kJ_mol_K=mix.rise_kJ_mol_K,
        )
        for degrees in (cold_C, warm_C)
    )
    return np.asarray(warm / cold)


@pytest.mark.parametrize(
    ("cold", "warm", "low", "high"),
    [(10.0, 20.0, 1.57, 1.81), (20.0, 35.0, 1.64, 1.84), (10.0, 35.0, 2.6, 3.3)],
)
def test_time_to_equal_heat(
    mix: prior.Prior, cold: float, warm: float, low: float, high: float
) -> None:
    assert low <= np.median(longer(mix, cold, warm)) <= high
    tenth, ninth = np.quantile(longer(mix, cold, warm), [0.1, 0.9])
    assert tenth <= low * 1.02
    assert ninth >= high


def test_set_in_the_cold_and_in_the_warm(mix: prior.Prior) -> None:
    assert 0.9 * 1.95 <= np.median(longer(mix, 10.0, 23.0)) <= 1.95
    assert 0.68 <= 1 / np.median(longer(mix, 23.0, 32.0)) <= 0.68 / 0.9
