"""How long the next batch still joins, by the warmth: the initial set from hot to near freezing.

Source     SET_BY_WARMTH.
Page says  about 100 minutes at 100 F; about 19 hours just above freezing, under which it may never.
Status     page.
Tolerance  between the 5 and 95 % members of a general-purpose mix, which is all that the class
           tells of a cement; the ratio of both too.
"""

import numpy as np
import pytest

from models.concrete import maturity, prior
from models.concrete.mixture import Mixture
from models.units import Array


def set_h(degrees: float) -> Array:
    drawn = prior.draw(Mixture("general-purpose"), 256)
    pace = maturity.rate(
        degrees,
        activation_energy_kJ_mol=drawn.activation_energy_kJ_mol,
        rise_kJ_mol_K=drawn.rise_kJ_mol_K,
    )
    return np.asarray(drawn.initial_set_h / pace)


@pytest.mark.parametrize(("degrees", "hours"), [(37.8, 100 / 60), (0.5, 19.0)])
def test_the_set_of_the_page_is_among_the_members(degrees: float, hours: float) -> None:
    low, high = np.quantile(set_h(degrees), (0.05, 0.95))
    assert low < hours < high


def test_the_page_s_ratio_of_hot_to_cold_is_among_the_members() -> None:
    low, high = np.quantile(set_h(0.5) / set_h(37.8), (0.05, 0.95))
    assert low < 19.0 * 60 / 100 < high
