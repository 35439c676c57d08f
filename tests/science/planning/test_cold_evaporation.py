"""Shade, fog and ice water are no advice in cold weather; no alarm under its limit; class alone."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.message import Message
from models.piece.shape import Shape
from models.planning import evaporation_control, pour_check, timeline
from models.simulation.fresh_face import evaporation_limit
from models.simulation.scenario import Placement, Scenario, ShopRules

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


def test_measures_are_held_against_one_rate_and_only_what_lowers_it_is_advice() -> None:
    air = weather(33.0, 16.0)
    answer = pour_check.check(BENCH, air, POURED_AT, only=POURED_AT)
    told = next(one.values for one in answer.cautions if one.code == "bare_face_dries")
    assert told["rate_kg_m2h"] == evaporation_control.rate(BENCH, air, POURED_AT)
    measures = told["measures"]
    assert isinstance(measures, tuple)
    assert measures
    for one in measures:
        assert isinstance(one, Message)
        assert float(str(one.values["rate_kg_m2h"])) < float(str(told["rate_kg_m2h"]))


@pytest.mark.parametrize("confidence", [0.8, 0.9, 0.99])
def test_what_forbids_a_pour_for_the_dry_air_lies_over_its_limit(confidence: float) -> None:
    shop = replace(BENCH, rules=ShopRules(confidence=confidence))
    for wind_m_s in (1.0, 2.0, 3.0, 4.0):
        found = pour_check.check(shop, weather(24.0, wind_m_s), POURED_AT, only=POURED_AT)
        for risk in (one for option in found.options for one in option.risks):
            if risk.risk == "dries" and risk.forbids:
                assert risk.value > risk.limit


@pytest.mark.parametrize("kind", ["flowing", "rapid-setting", "glass-fibre"])
def test_a_mix_that_does_not_bleed_gets_no_bonus_for_bleed_water(kind: str) -> None:
    """D10: film at once let it bear half as much again."""
    at_once = replace(BENCH, mixture=Mixture(kind), coverings=(Covering(0.0, None, "blanket"),))
    assert evaporation_limit(at_once) == evaporation_limit(replace(at_once, coverings=()))
    bleeds = replace(at_once, mixture=BENCH.mixture)
    assert evaporation_limit(bleeds) > evaporation_limit(BENCH)


@pytest.mark.parametrize("air_C", [9.0, 12.0, 30.0])
def test_film_is_meant_when_the_face_bears_it_and_not_by_the_clock(air_C: float) -> None:
    """D10: it was taken as laid 4.5 h after placing whatever the temperature."""
    pour, now = replace(BENCH, placement=Placement(POURED_AT, air_C)), POURED_AT + 0.2 * HOUR
    told = timeline.project(pour, weather(air_C, 2.0), now)
    film = next(one for one in told.plan if one.cover == "film")
    window = next(one for one in told.steps if one.step == "cover")
    assert (film.set_by, film.cover) == ("default", "film")
    assert window.p50 is not None
    assert abs(film.at - window.p50) < 0.05 * (film.at - POURED_AT)
    assert (film.at > POURED_AT + 5 * HOUR) == (air_C < 20)
