"""Datum temperature and activation energy from strengths at three temperatures, by the annex.

Source     ASTM_C1074, annex on datum temperature and activation energy; no data of it were found.
Page says  the procedure only. The data are constructed: Q = 5000 K, 0.5 per day at 23 C, other
           constants and ends by temperature, strengths rounded to 0.01 MPa.
Status     from memory: the procedure; constructed data, exact arithmetic, not an independent check
           of nature but of the arithmetic from strengths back to the constants.
Tolerance  0.2 % on the rate constants and 0.01 MPa on strengths, the rounding; T0 0.05 K, Q 10 K.
"""

import numpy as np
import pytest

from models.concrete import fit
from models.concrete.mix_fit import MixFit, Result, fit_mix
from models.errors import Unknown

# temperature: (ultimate MPa, rate 1/d, dormant d), ages d, strengths MPa
TRUTH = {8.0: (46.0, 0.20313, 0.35), 23.0: (43.0, 0.50000, 0.15), 40.0: (39.0, 1.25032, 0.07)}
AGES_D: dict[float, list[float]] = {
    8.0: [1, 2, 4, 8, 16, 32, 56],
    23.0: [0.5, 1, 2, 4, 8, 16, 28],
    40.0: [0.25, 0.5, 1, 2, 4, 8, 16],
}
STRENGTHS = {
    8.0: [5.37, 11.55, 19.58, 27.99, 34.99, 39.81, 42.26],
    23.0: [6.40, 12.82, 20.66, 28.30, 34.27, 38.18, 40.12],
    40.0: [7.16, 13.64, 20.97, 27.57, 32.41, 35.43, 37.14],
}


@pytest.fixture(scope="module")
def mix() -> MixFit:
    rows = [
        Result(T, 24.0 * age, MPa)
        for T in TRUTH
        for age, MPa in zip(AGES_D[T], STRENGTHS[T], strict=True)
    ]
    return fit_mix(rows)


@pytest.mark.parametrize("T", TRUTH)
def test_the_curve_gives_the_strengths_of_the_table(T: float) -> None:
    Su, k, t0 = TRUTH[T]
    got = fit.hyperbolic(24.0 * np.array(AGES_D[T]), Su, k / 24.0, 24.0 * t0)
    assert got == pytest.approx(STRENGTHS[T], abs=0.006)


@pytest.mark.parametrize("plain", [True, False])
@pytest.mark.parametrize("T", TRUTH)
def test_the_table_gives_the_constants_back(T: float, plain: bool) -> None:
    Su, k, t0 = TRUTH[T]
    got = fit.fit_hyperbolic(24.0 * np.array(AGES_D[T]), STRENGTHS[T], plain=plain)
    assert got["ultimate_MPa"] == pytest.approx(Su, rel=0.002)
    assert 24.0 * got["rate_per_h"] == pytest.approx(k, rel=0.002)
    assert got["dormant_h"] / 24.0 == pytest.approx(t0, abs=0.002)
    assert np.abs(got.residuals_MPa).max() < 0.01


def test_the_rates_give_datum_and_activation_energy_back(mix: MixFit) -> None:
    assert not isinstance(mix.energy, Unknown)
    assert mix.energy.datum_C == pytest.approx(3.92, abs=0.05)
    assert mix.energy.quotient_K == pytest.approx(5001.0, abs=10.0)
    assert mix.energy.activation_energy_kJ_mol == pytest.approx(41.58, abs=0.09)


def test_the_strength_curve_is_that_of_the_cure_nearest_to_20_degrees(mix: MixFit) -> None:
    tested = {mix.results[k].temperature_C for k in mix.curve_rows}
    assert tested == {23.0}
    # 28 d at 20 C are 23.6 d at 23 C by Q = 5000 K
    expected = fit.hyperbolic(24.0 * 28.0 * 0.8413, 43.0, 0.5 / 24.0, 24.0 * 0.15)
    assert mix.strength_28d_MPa == pytest.approx(float(expected), rel=0.01)
