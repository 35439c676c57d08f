"""Strength against age by ACI 209R, equation 2-1.

Source     ACI_209R; coefficients held in the open state-DOT library WSDOT/WBFL.
Page says  t / (a + b t): Type I moist 4.0, 0.85; Type III moist 2.3, 0.92; I steam 1.0, 0.95;
           III steam 0.70, 0.98.
Status     page for the coefficients; the shares are exact arithmetic on them.
Tolerance  1e-4, the digits printed; the share at 28 d is 1.0072 for Type I, not 1.
"""

import pytest

from models.concrete import strength


@pytest.mark.parametrize(
    ("a", "b", "shares"),
    [
        (4.0, 0.85, [0.2062, 0.4580, 0.7035, 0.8805, 1.0072, 1.1186, 1.1615]),
        (2.3, 0.92, [0.3106, 0.5929, 0.8009, 0.9223, 0.9979, 1.0579, 1.0796]),
        (1.0, 0.95, [0.5128, 0.7792, 0.9150, 0.9790, 1.0145, 1.0406, 1.0496]),
        (0.70, 0.98, [0.5952, 0.8242, 0.9259, 0.9709, 0.9950, 1.0125, 1.0184]),
    ],
)
def test_share_at_1_3_7_14_28_91_365_days(a: float, b: float, shares: list[float]) -> None:
    got = strength.aci_209_share([1.0, 3.0, 7.0, 14.0, 28.0, 91.0, 365.0], a, b)
    assert got == pytest.approx(shares, abs=1e-4)
