"""What concrete may not be placed on in cold weather.

Source     ACI_306_1 as repeated in two city standards: lfportal.everettwa.gov doc 815620 page 251;
           codelibrary.amlegal.com Lawrenceburg IN, placing concrete.
Page says  no concrete on frozen subgrade or on subgrade with frozen material in it; forms,
           reinforcement and surfaces beside it wholly free of frost, snow and ice.
Status     page, of the standards that repeat it
Tolerance  exact: what is at 32 F or under may be ice.
"""

from datetime import UTC, datetime

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import Mixture
from models.concrete.section import MouldBoard
from models.facts import protection
from models.piece.shape import Shape
from models.planning import pour_check
from models.simulation.scenario import Placement, Scenario

ASKED = datetime(2026, 3, 10, 15, tzinfo=UTC)


def test_ice_begins_at_32_fahrenheit() -> None:
    assert protection.BASE_LEAST_C == (32 - 32) * 5 / 9


@pytest.mark.parametrize(
    ("material", "code"),
    [("ground", "frozen_ground"), ("melamine", "frozen_mould")],
)
def test_nothing_is_cast_on_what_is_at_the_freezing_point(material: str, code: str) -> None:
    same = np.ones(24 * 8)
    mild = AirSeries(
        ASKED - 96 * HOUR,
        14 * same,
        8 * same,
        same,
        0 * same,
        0.5 * same,
        np.nan * same,
        ASKED,
        "made up",
    )
    for base_C, frozen in ((-2.0, True), (0.0, True), (0.5, False)):
        pour = Scenario(
            "pad",
            Site("covered", 44.0, 0.0),
            Mixture("general-purpose"),
            Shape("panel", 1200, 600, 80),
            Placement(ASKED, 18.0, board_C=base_C),
            MouldBoard(material),
        )
        answer = pour_check.check(pour, mild, ASKED, only=ASKED)
        chances = {r.probability for o in answer.options for r in o.risks if r.risk == code}
        assert chances == {float(frozen)}
        assert not (frozen and answer.answer.code.startswith("pour"))
