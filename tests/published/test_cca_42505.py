"""When the sides of a mould may be struck on little strength.

Source     CCA_42505, the abstract at trid.trb.org/view/32945; ACI_347 beside it.
Page says  2 N/mm2 of a cube beside the wall, plain Portland cement, release agent used: unsealed
           plywood at an equivalent age of 12 h at 20 C, an impermeable face at 9 h.
Status     page of an abstract.
Tolerance  exact for the ages; the hour within the step of the rows, 1 h.
"""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import MouldBoard
from models.piece.shape import Shape
from models.simulation import cases, physics
from models.simulation.scenario import Placement, Scenario, ShopRules
from models.steps import strip
from models.steps.case import Case

POURED_AT = datetime(2026, 5, 12, 8, tzinfo=UTC)
STRONG = Mixture(
    "general-purpose",
    tuple(LabelStrength(h, MPa) for h, MPa in ((8.0, 6.0), (24.0, 20.0), (672.0, 45.0))),
)
QUICK = Mixture("rapid-setting")


def case(board: str, mixture: Mixture = STRONG, **needs_MPa: float) -> Case:
    same = np.ones(72 + 10 * 24)
    air = AirSeries(
        POURED_AT - 72 * HOUR,
        20 * same,
        10 * same,
        same,
        0 * same,
        0.5 * same,
        np.nan * same,
        POURED_AT,
        "made up",
    )
    pour = Scenario(
        "wall",
        Site("covered", 44.0, 0.0),
        mixture,
        Shape("panel", 1200.0, 600.0, 60.0),
        Placement(POURED_AT, 20.0),
        MouldBoard(board),
        rules=ShopRules(needs_MPa=needs_MPa),
    )
    simulation = physics.simulate(pour, air, POURED_AT, 72)
    assert isinstance(simulation, physics.Simulation)
    return cases.case_of(pour, simulation, 0.0)


@pytest.mark.parametrize(
    ("board", "age_h"),
    [("plywood", 12.0), ("mdf", 12.0), ("ground", 12.0), ("melamine", 9.0), ("steel", 9.0)],
)
def test_two_newtons_come_with_the_age_at_which_they_were_measured(
    board: str, age_h: float
) -> None:
    asked = case(board, strip=2.0)
    assert strip.least_te_h(asked) == age_h
    opening = strip.walls(asked)
    trajectory = asked.trajectory
    assert opening.need.value == 2.0
    assert np.all(opening.opens_h >= trajectory.first(trajectory.te_cold_h, age_h) - 1e-9)
    by_strength = np.maximum(
        trajectory.first(trajectory.strength_MPa, 2.0),
        trajectory.first(trajectory.te_cold_h, trajectory.final_set_h),
    )
    assert np.mean(opening.opens_h > by_strength + 0.5) > 0.3, "strength alone came sooner"
    assert {one.says.code for one in opening.conditions} == {"last_final_set", "last_struck_age"}


def test_the_usual_strength_and_quick_mixes_need_no_age() -> None:
    assert strip.least_te_h(case("plywood")) == 0.0
    assert strip.least_te_h(case("plywood", QUICK, strip=2.0)) == 0.0
    quick = replace(STRONG, admixture="accelerator")
    assert strip.least_te_h(case("plywood", quick, strip=2.0)) == 0.0
