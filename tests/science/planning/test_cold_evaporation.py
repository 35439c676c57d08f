"""Shade, fog and ice water are no advice in cold weather; no alarm under its limit; class alone."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.piece.shape import Shape
from models.planning import evaporation_control, pour_check, timeline
from models.simulation.scenario import Placement, Scenario

POURED_AT = datetime(2026, 1, 12, 15, tzinfo=UTC)
BENCH = Scenario(
    "bench",
    Site("open yard", 44.0, 0.0),
    Mixture("general-purpose"),
    Shape("panel", 1500, 420, 60),
    Placement(POURED_AT, 22.0),
)


def weather(air_C: float, wind_m_s: float = 9.0) -> AirSeries:
    same = np.ones(72 + 20 * 24)
    return AirSeries(
        POURED_AT - 72 * HOUR,
        air_C * same,
        (air_C - 18) * same,
        wind_m_s * same,
        0 * same,
        0.5 * same,
        np.nan * same,
        POURED_AT,
        "made up",
    )


@pytest.mark.parametrize(("air_C", "advised"), [(-7.0, False), (3.0, False), (33.0, True)])
def test_cooling_the_face_is_no_advice_in_cold_weather(air_C: float, advised: bool) -> None:
    found = evaporation_control.effects(BENCH, weather(air_C, 16.0), POURED_AT)
    assert bool(found) == advised
    answer = pour_check.check(BENCH, weather(air_C, 16.0), POURED_AT, only=POURED_AT)
    assert any(one.code == "bare_face_dries" for one in answer.cautions) == advised


def test_evaporation_is_no_warning_under_its_limit() -> None:
    for wind_m_s in (2.0, 4.0, 6.0, 9.0):
        told = timeline.project(BENCH, weather(28.0, wind_m_s), POURED_AT + 0.2 * HOUR)
        for one in told.warnings:
            if one.code.startswith("evaporation"):
                rate, limit = one.values["rate_kg_m2h"], one.values["limit_kg_m2h"]
                assert float(str(rate)) > float(str(limit))


def test_the_class_of_a_mix_alone_says_that_its_strength_is_not_known() -> None:
    label = replace(BENCH, mixture=Mixture("general-purpose", (LabelStrength(672.0, 30.0),)))
    for scenario, unknown in ((BENCH, True), (label, False)):
        told = timeline.project(scenario, weather(15.0, 2.0), POURED_AT + 2 * HOUR)
        steps = {step.step: [one.code for one in step.because] for step in told.steps}
        for step in ("strip", "turn"):
            assert ("strength_unknown" in steps[step]) == unknown
