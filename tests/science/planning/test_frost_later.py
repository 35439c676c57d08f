"""Frost after the first days: told while the piece is wet and weak, with what to do."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.facts.frost import REPEATED_MPA
from models.planning import timeline
from models.simulation.scenario import Scenario

Panel = Callable[..., Scenario]
WEAK = Mixture("general-purpose", (LabelStrength(672.0, 20.0),))
STRONG = Mixture("high-early", (LabelStrength(24.0, 30.0), LabelStrength(672.0, 55.0)))


@pytest.fixture
def winter(cool: AirSeries) -> AirSeries:
    """Five mild days, then nights of -6 degC."""
    late = np.arange(cool.hours) > 72 + 5 * 24
    air = np.where(late, cool.air_C - 10.0, cool.air_C + 5.0)
    return replace(cool, air_C=air, dew_point_C=air - 2.0)


def told(scenario: Scenario, air: AirSeries, now: datetime) -> set[str]:
    return {one.code for one in timeline.project(scenario, air, now).warnings}


def test_a_coming_frost_on_a_wet_weak_piece_is_told(
    panel: Panel, winter: AirSeries, poured_at: datetime
) -> None:
    """3500 psi before repeated freezing while wet (ACI 306R); nothing was said of it."""
    assert pytest.approx(3500 * 0.00689476, abs=0.2) == REPEATED_MPA
    now = poured_at + 5 * 24 * HOUR
    answer = timeline.project(panel(mixture=WEAK), winter, now)
    (later,) = [one for one in answer.warnings if one.code == "frost_later"]
    assert isinstance(later.values["lowest_C"], float)
    assert -9.0 < later.values["lowest_C"] < -1.0
    assert answer.frost is None, "it bears one frost"


def test_strong_dry_or_sheltered_pieces_hear_nothing(
    panel: Panel, winter: AirSeries, cool: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + 5 * 24 * HOUR
    assert "frost_later" not in told(panel(mixture=STRONG), winter, now)
    mild = replace(cool, air_C=cool.air_C + 8.0, dew_point_C=cool.dew_point_C + 8.0)
    assert "frost_later" not in told(panel(mixture=WEAK), mild, now), "no frost"
    indoors = panel(mixture=WEAK, exposed_to_frost=False)
    assert "frost_later" not in told(indoors, winter, now)
