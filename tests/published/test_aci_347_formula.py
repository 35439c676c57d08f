"""Lateral pressure of fresh concrete by its rate of rise, in both systems of units.

Source     ACI_347_COEFFICIENTS for 150 + 9000 R / T, 600 Cw at the least, Cw and Cc;
           ACI_347_PRESSURE.
Page says  Cw (1 + w / 145) / 2 under 140 lb/ft3, 0.8 at the least, 1 up to 150, w / 145 above; Cc
           1.0, 1.2 with a retarder or a blend, 1.4 with both.
Status     second-hand; the metric form 7.2 + 785 R / (T + 17.8) and the second formula from
           memory.
Tolerance  0.5 %: the metric constants are rounded.
"""

import pytest

from models.facts.formwork import ACI_CC
from models.mould.pressure import Placing, aci_347_kPa, pressure_of, unit_weight_coefficient

PSF_KPA = 0.04788026
FOOT_M = 0.3048
PCF_KG_M3 = 16.01846


def psf(rate_ft_h: float, warm_F: float, high_ft: float) -> float:
    C = (warm_F - 32) / 1.8
    return aci_347_kPa(high_ft * FOOT_M, rate_ft_h * FOOT_M, C, 145 * PCF_KG_M3) / PSF_KPA


@pytest.mark.parametrize(("rate", "warm"), [(6.0, 70.0), (5.0, 50.0), (6.5, 60.0)])
def test_first_formula_is_the_printed_one(rate: float, warm: float) -> None:
    assert psf(rate, warm, 13.0) == pytest.approx(150 + 9000 * rate / warm, rel=0.005)


def test_six_feet_an_hour_at_seventy_degrees_are_921_psf() -> None:
    assert psf(6.0, 70.0, 13.0) == pytest.approx(921.0, abs=3.0)


def test_second_formula_of_a_high_wall() -> None:
    printed = 150 + 43400 / 70 + 2800 * 6 / 70
    assert psf(6.0, 70.0, 20.0) == pytest.approx(printed, rel=0.005)


def test_no_formula_goes_under_600_psf_nor_over_the_head() -> None:
    assert psf(0.5, 90.0, 13.0) == pytest.approx(600.0, rel=0.06)  # 30 kPa are 626 psf
    assert psf(6.0, 70.0, 3.0) == pytest.approx(3.0 * 145.0, rel=0.001)


def test_coefficients_of_weight_and_chemistry() -> None:
    for pcf, wanted in ((145.0, 1.0), (130.0, 0.948), (80.0, 0.8), (160.0, 1.103)):
        assert unit_weight_coefficient(pcf * PCF_KG_M3) == pytest.approx(wanted, abs=0.004)
    assert list(ACI_CC.values()) == [1.0, 1.2, 1.2, 1.4]


def test_two_metres_an_hour_at_20_degrees() -> None:
    assert aci_347_kPa(3.0, 2.0, 20.0, 2350.0) == pytest.approx(48.7, abs=0.05)


def test_what_is_told_of_a_mould_is_the_larger_of_both_rules() -> None:
    slow = Placing(placing_h=2.0, concrete_C=20.0, slump_mm=100.0, shaken=False)
    found = pressure_of(3.0, slow)
    assert found.rule == "aci_347"
    assert found.most_kPa >= aci_347_kPa(3.0, 1.5, 20.0, 2400.0)
