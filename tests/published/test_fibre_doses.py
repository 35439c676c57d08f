"""Usual doses of fibre.

Source     CONCRETE_SOCIETY_550.
Page says  polypropylene at a rate of about 0.9 kg/m3.
Status     page for polypropylene, common practice for glass and steel.
Tolerance  exact: the figure printed is usual, half and twice of it are not.
"""

import pytest

from models.concrete.mixture import Mixture
from models.piece.shape import Shape
from models.planning.amounts import Cast, Choices, amounts

TOP = Cast(Shape("panel", 1000.0, 1000.0, 50.0), Mixture("general-purpose"))


@pytest.mark.parametrize(("dose", "told"), [(0.9, False), (0.45, True), (1.8, True)])
def test_only_a_dose_that_is_not_usual_is_spoken_of(dose: float, told: bool) -> None:
    found = amounts(TOP, Choices(fibre_kg_m3=dose, waste_pct=0.0))
    assert any(one.code == "fibre_unusual" for one in found.notes) is told
    fibre = next(one for one in found.total if one.kind == "fibre")
    assert fibre.kg == pytest.approx(dose * 0.050)
