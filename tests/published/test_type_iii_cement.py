"""High-early-strength cement against ordinary cement in the same mix.

Source     concreteconstruction.net, what Type III does for strength and when.
Page says  190 % of the ordinary strength at 1 d, 150 % at 3 d, 120 % at 7 d, 110 % at 28 d.
Status     page.
Tolerance  20 %: one page's round figures; the class prior's median is what is compared.
"""

import numpy as np
import pytest

from models.concrete import prior
from models.concrete.mixture import Mixture


@pytest.mark.parametrize(("days", "ratio"), [(1.0, 1.90), (3.0, 1.50), (7.0, 1.20)])
def test_ratio_of_high_early_to_ordinary(days: float, ratio: float) -> None:
    def share(kind: str) -> float:
        mix = prior.draw(Mixture(kind), 1024, 6)
        grown = mix.strength_at(np.full(mix.members, 24 * days))
        return float(np.median(grown / mix.batch / mix.strength_28d_MPa))

    at_28_d = 1.10
    got = at_28_d * share("high-early") / share("general-purpose")
    assert got == pytest.approx(ratio, rel=0.20)
