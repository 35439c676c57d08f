"""Evaporation by vapour-pressure difference, Menzel's form in ACI 308R.

Source     MENZEL_1954: 0.315 (e0 - ea) (0.253 + 0.060 V), kPa and km/h.
Page says  worked rows, with Tetens' saturation pressure.
Status     from memory; checked by converting the US form (0.44 in psi and mph).
Tolerance  1 %: the saturation pressure here is WMO's.
"""

import pytest

from models.air import evaporation
from tests.published.register import menzel_1954


@pytest.mark.parametrize(("concrete", "air", "rh_pct", "wind", "expected"), menzel_1954.ROWS)
def test_worked_rows(
    concrete: float, air: float, rh_pct: float, wind: float, expected: float
) -> None:
    got = evaporation.evaporation_rate_menzel(
        concrete_C=concrete, air_C=air, rh_fraction=rh_pct / 100, wind_km_h=wind
    )
    assert float(got) == pytest.approx(expected, rel=0.01)


def test_both_formulas_agree_within_the_doubt_of_either() -> None:
    for concrete, air, rh, wind in ((31, 27, 0.5, 19), (22, 10, 0.7, 15), (25, 30, 0.6, 5)):
        case = {"concrete_C": concrete, "air_C": air, "rh_fraction": rh, "wind_km_h": wind}
        uno = float(evaporation.evaporation_rate(**case))
        assert float(evaporation.evaporation_rate_menzel(**case)) == pytest.approx(uno, rel=0.08)
