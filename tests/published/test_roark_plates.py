"""A plate held on four sides under an even load.

Source     ROARK_11_4.
Page says  nu 0.3, by length over width: stress 0.2874 (1.0), 0.3762 (1.2), 0.4530 (1.4), 0.5172
           (1.6), 0.5688 (1.8), 0.6102 (2.0), 0.7134 (3.0) q b2 / t2; bow 0.0444, 0.0616, 0.0770,
           0.0906, 0.1017, 0.1110, 0.1335 q b4 / (E t3).
Status     page.
Tolerance  0.5 %: three to four figures are printed.
"""

import pytest

from models.mould.plate import Bent, Load, bent
from models.units import Array

TABLE = {
    1.0: (0.2874, 0.0444),
    1.2: (0.3762, 0.0616),
    1.4: (0.4530, 0.0770),
    1.6: (0.5172, 0.0906),
    1.8: (0.5688, 0.1017),
    2.0: (0.6102, 0.1110),
    3.0: (0.7134, 0.1335),
}
NU = 0.3


class Even(Load):
    """The same at every height."""

    def at(self, y_mm: Array) -> Array:
        return 0.0 * y_mm + self.most_kPa


def plate(ratio: float, *, upright: bool) -> Bent:
    """1 mm wide, under 1 N/mm2."""
    length, height = (1.0, ratio) if upright else (ratio, 1.0)
    return bent(length, height, Even(0.0, height, 0.0, 1e3), "simple", "simple", NU)


@pytest.mark.parametrize("ratio", TABLE)
@pytest.mark.parametrize("upright", [True, False])
def test_bow_and_stress(ratio: float, *, upright: bool) -> None:
    stress, bow = TABLE[ratio]
    found = plate(ratio, upright=upright)
    assert 12 * (1 - NU**2) * found.most == pytest.approx(bow, rel=0.005)
    assert 6 * found.moment_N == pytest.approx(stress, rel=0.005)
