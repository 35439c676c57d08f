"""A typical year plans a pour that is still to come; it clears none and opens nothing."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.air import members
from models.air.series import NEVER, AirSeries
from models.concrete.section import Covering
from models.facts import forecast
from models.facts.forecast import TYPICAL_SD_K
from models.planning.pour_check import check
from models.planning.timeline import project
from models.simulation.scenario import Scenario, ShopRules
from tests.support.words import codes

AirOf = Callable[..., AirSeries]
PourOf = Callable[..., Scenario]


def typical(air: AirSeries) -> AirSeries:
    return replace(air, issued_at=NEVER, source="typical year of the tests, no forecast")


@given(now_h=st.floats(0.01, 2000.0), mean_C=st.floats(5.0, 30.0))
def test_what_was_poured_is_blocked_under_a_typical_year(
    air_of: AirOf, pour_of: PourOf, now_h: float, mean_C: float
) -> None:
    pour = pour_of()
    told = project(
        pour, typical(air_of(mean_C, hours=900)), pour.placement.at + timedelta(hours=now_h)
    )
    assert {step.state for step in told.steps} == {"blocked"}
    assert all("typical_tells_nothing" in codes(*step.because) for step in told.steps)


@given(ahead_h=st.floats(0.0, 100.0), mean_C=st.floats(8.0, 25.0))
def test_what_is_to_be_poured_is_planned__but_nothing_is_open_and_no_coat_has_an_hour(
    air_of: AirOf, pour_of: PourOf, ahead_h: float, mean_C: float
) -> None:
    pour = pour_of()
    told = project(
        pour, typical(air_of(mean_C, hours=900)), pour.placement.at - timedelta(hours=ahead_h)
    )
    assert {step.state for step in told.steps} == {"not yet"}
    by_name = {step.step: step for step in told.steps}
    assert by_name["strip"].p50 is not None
    assert by_name["coat-1"].p90 is None
    assert "typical_year" in codes(*by_name["cover"].because)
    (doubt,) = [one for one in told.warnings if one.code == "typical_weather"]
    assert doubt.values["sd_K"] == 8.0


def test_its_doubt_is_that_of_one_year_against_another(air_of: AirOf) -> None:
    air = air_of(15.0, hours=900)
    drawn = members.draw(typical(air), 2000, 1)
    sd = (drawn.air_C - air.air_C[:, None]).std()
    assert sd == pytest.approx(np.hypot(TYPICAL_SD_K, forecast.SITE_SD_K), rel=0.05)
    assert members.draw(air, 2000, 1).error_sd_K.max() < TYPICAL_SD_K


def test_a_forecast_of_the_same_air_strips_sooner_at_the_same_confidence(
    air_of: AirOf, pour_of: PourOf
) -> None:
    pour, air = pour_of(), air_of(15.0, hours=900)
    sure = {
        kind: next(
            step for step in project(pour, told, pour.placement.at).steps if step.step == "strip"
        ).p90
        for kind, told in (("forecast", air), ("typical", typical(air)))
    }
    assert sure["forecast"] is not None
    assert sure["typical"] is not None
    assert sure["typical"] > sure["forecast"]


@pytest.mark.parametrize("mean_C", [-5.0, 15.0])
def test_no_pour_is_cleared_on_it__what_would_pass_is_told(
    air_of: AirOf, pour_of: PourOf, mean_C: float
) -> None:
    pour = replace(pour_of(), rules=ShopRules(owned=(Covering(0.0, None, "blanket"),)))
    air = air_of(mean_C, hours=300)
    told = check(pour, typical(air), pour.placement.at)
    assert told.answer.code == "wait"
    assert told.wait_until is None
    assert told.because[0].code == "typical_clears_no_pour"
    assert told.because[0].values["source"] == typical(air).source
    assert any(option.passes for option in told.options) == (mean_C > 0)
    assert check(pour, air, pour.placement.at).answer.code.startswith("pour") == (mean_C > 0)
