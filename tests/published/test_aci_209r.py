"""Strength against age by ACI 209R, equation 2-1.

Source     ACI_209R; coefficients held in the open state-DOT library WSDOT/WBFL.
Page says  t / (a + b t): Type I moist 4.0, 0.85; Type III moist 2.3, 0.92; I steam 1.0, 0.95;
           III steam 0.70, 0.98.
Status     page for the coefficients; the shares are exact arithmetic on them.
Tolerance  1e-4, the digits printed; the share at 28 d is 1.0072 for Type I, not 1.
"""

import pytest

from models.concrete import strength
from tests.published.register import aci_209r


@pytest.mark.parametrize(("kind", "a", "b", "shares"), aci_209r.ROWS)
def test_share_at_1_3_7_14_28_91_365_days(
    kind: str, a: float, b: float, shares: tuple[float, ...]
) -> None:
    got = strength.aci_209_fraction(aci_209r.AGES_D, a, b)
    assert got == pytest.approx(shares, abs=1e-4), kind
