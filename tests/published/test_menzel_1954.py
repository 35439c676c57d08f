"""Evaporation by Uno's formula against Menzel's, by vapour-pressure difference, in ACI 308R.

Source     Menzel 1954 in ACI 308R form: 0.315 (e0 - ea) (0.253 + 0.060 V), kPa and km/h; the
           formula of the program is UNO_1998.
Page says  worked rows, with Tetens' saturation pressure.
Status     from memory; checked by converting the US form (0.44 in psi and mph).
Tolerance  7 %: two formulas, each loose by up to 40 % in the field.
"""

import pytest

from models.air import evaporation
from tests.published.register import menzel_1954


@pytest.mark.parametrize(("concrete", "air", "rh_pct", "wind", "expected"), menzel_1954.ROWS)
def test_both_formulas_agree_within_the_doubt_of_either(
    concrete: float, air: float, rh_pct: float, wind: float, expected: float
) -> None:
    got = evaporation.evaporation_rate(
        concrete_C=concrete, air_C=air, rh_fraction=rh_pct / 100, wind_km_h=wind
    )
    assert float(got) == pytest.approx(expected, rel=0.07)
