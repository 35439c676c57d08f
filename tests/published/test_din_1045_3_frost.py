"""Days until young concrete bears frost (5 N/mm2), by temperature.

Source     DIN_1045_3, guide values of its page 10-4, where it is kept from rain and snow.
Page says  42.5 N or 32.5 R, w/c 0.60: 2 d at 5 C, 1.5 at 12 C, 1 at 20 C; 52.5 or 42.5 R, w/c
           0.40: 0.5, 0.25, 0.25 d; w/c 0.60: 0.75, 0.5, 0.5 d.
Status     page.
Tolerance  the page's day lies within the 10-90 % band of the class, rounded outwards to quarter
           days, the step of the table.
"""

import numpy as np
import pytest

from models.concrete import maturity, prior
from models.concrete.mixture import Mixture


def days_to_5_MPa(kind: str, degrees: float) -> tuple[float, float]:
    mix = prior.draw(Mixture(kind), 1024, 8)
    age = mix.age_at(5.0)
    pace = maturity.rate(
        degrees,
        activation_energy_kJ_mol=mix.activation_energy_kJ_mol,
        rise_kJ_mol_K=mix.rise_kJ_mol_K,
    )
    low, high = np.quantile(age / pace / 24, [0.10, 0.90])
    return float(np.floor(4 * low) / 4), float(np.ceil(4 * high) / 4)


@pytest.mark.parametrize(
    ("kind", "degrees", "day"),
    [
        ("general-purpose", 5.0, 2.0),
        ("general-purpose", 12.0, 1.5),
        ("general-purpose", 20.0, 1.0),
        ("high-early", 5.0, 0.75),
        ("high-early", 12.0, 0.5),
        ("high-early", 20.0, 0.5),
    ],
)
def test_page_lies_within_the_band(kind: str, degrees: float, day: float) -> None:
    low, high = days_to_5_MPa(kind, degrees)
    assert low <= day <= high


def test_cold_costs_by_the_ratio_of_the_table() -> None:
    for kind in ("general-purpose", "high-early"):
        cold, warm = days_to_5_MPa(kind, 5.0), days_to_5_MPa(kind, 20.0)
        middle = (sum(cold) / 2) / (sum(warm) / 2)
        assert 1.5 <= middle <= 3.5  # the table 1.5 to 2.5, the steep law 3.4
