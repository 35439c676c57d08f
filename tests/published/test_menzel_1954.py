"""Evaporation by vapour-pressure difference, Menzel's form in ACI 308R.

Source     MENZEL_1954: 0.315 (e0 - ea) (0.253 + 0.060 V), kPa and km/h.
Page says  worked rows, with Tetens' saturation pressure.
Status     from memory; checked by converting the US form (0.44 in psi and mph).
Tolerance  1 %: the saturation pressure here is WMO's.
"""

import pytest

from models.air import evaporation


@pytest.mark.parametrize(
    ("concrete", "air", "rh", "wind", "expected"),
    [
        (31.0, 27.0, 0.50, 19.0, 1.189),
        (20.0, 20.0, 0.60, 10.0, 0.251),
        (20.0, 5.0, 0.60, 20.0, 0.831),
        (32.0, 35.0, 0.25, 15.0, 1.216),
        (25.0, 25.0, 0.50, 10.0, 0.426),
        (30.0, 30.0, 0.40, 20.0, 1.165),
        (22.0, 10.0, 0.70, 15.0, 0.648),
        (25.0, 30.0, 0.60, 5.0, 0.108),
    ],
)
def test_worked_rows(concrete: float, air: float, rh: float, wind: float, expected: float) -> None:
    got = evaporation.evaporation_rate_menzel(
        concrete_C=concrete, air_C=air, rh_fraction=rh, wind_km_h=wind
    )
    assert float(got) == pytest.approx(expected, rel=0.01)


def test_both_formulas_agree_within_the_doubt_of_either() -> None:
    for concrete, air, rh, wind in ((31, 27, 0.5, 19), (22, 10, 0.7, 15), (25, 30, 0.6, 5)):
        case = {"concrete_C": concrete, "air_C": air, "rh_fraction": rh, "wind_km_h": wind}
        uno = float(evaporation.evaporation_rate(**case))
        assert float(evaporation.evaporation_rate_menzel(**case)) == pytest.approx(uno, rel=0.08)
