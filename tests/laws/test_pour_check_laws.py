"""Laws of the pour check: colder or windier is never safer, and more cover never colder."""

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import Mixture
from models.concrete.section import Covering
from models.message import Message
from models.piece.shape import Shape
from models.planning import pour_check, watch
from models.simulation.scenario import Placement, Scenario, ShopRules
from tests.support.thorough import some
from tests.support.words import BARE, cover

ASKED = datetime(2026, 11, 3, 14, tzinfo=UTC)
OWNED = tuple(Covering(0.0, None, kind) for kind in ("film", "blanket", "two blankets"))
HOURS = 24 * 9
FILM, BLANKET, TWO_BLANKETS = (cover(covering.kind) for covering in OWNED)


def pour(thickness_mm: float, concrete_C: float | None) -> Scenario:
    return Scenario(
        "bench",
        Site("open yard", 44.0, 0.0),
        Mixture("general-purpose"),
        Shape("panel", 1500, 420, thickness_mm),
        Placement(ASKED, concrete_C),
        rules=ShopRules(owned=OWNED),
    )


def air(mean_C: float, wind_m_s: float, rain_mm: float) -> AirSeries:
    clock = np.arange(HOURS)
    values = mean_C + 4 * np.sin(clock / 24 * 2 * np.pi)
    same = np.ones(HOURS)
    return AirSeries(
        ASKED - 96 * HOUR,
        values,
        values - 3,
        wind_m_s * same,
        rain_mm * same,
        0.2 * same,
        np.nan * same,
        ASKED,
        "made up",
    )


def chances(scenario: Scenario, weather: AirSeries) -> dict[tuple[Message, str], float]:
    answer = pour_check.check(scenario, weather, ASKED, days=1, only=ASKED)
    return {(o.protection, r.risk): r.probability for o in answer.options for r in o.risks}


@settings(max_examples=some(5, 2000), deadline=None)
@given(
    mean_C=st.floats(-6, 12),
    colder_K=st.floats(0.5, 6),
    thickness=st.sampled_from([35, 60]),
)
def test_colder_air_is_never_less_likely_to_freeze_it(
    mean_C: float, colder_K: float, thickness: float
) -> None:
    scenario = pour(thickness, 16.0)
    warm, cold = (chances(scenario, air(t, 2.0, 0.0)) for t in (mean_C, mean_C - colder_K))
    for way in (BARE, FILM, BLANKET, TWO_BLANKETS):
        if (way, watch.FROST) in warm and (way, watch.FROST) in cold:
            assert cold[way, watch.FROST] >= warm[way, watch.FROST]


@settings(max_examples=some(5, 2000), deadline=None)
@given(mean_C=st.floats(-6, 10))
def test_two_blankets_are_never_likelier_to_freeze_than_one(mean_C: float) -> None:
    found = chances(pour(60, 16.0), air(mean_C, 2.0, 0.0))
    assert found[TWO_BLANKETS, watch.FROST] <= found[BLANKET, watch.FROST]
    assert found[BLANKET, watch.FROST] <= found[FILM, watch.FROST]


@settings(max_examples=some(5, 2000), deadline=None)
@given(wind=st.floats(0.5, 10), more=st.floats(0.5, 8), rain=st.sampled_from([0.0, 2.0]))
def test_more_wind_is_never_safer_for_film_and_rain_never_for_a_bare_face(
    wind: float, more: float, rain: float
) -> None:
    scenario = pour(60, 18.0)
    calm, windy = (chances(scenario, air(14.0, w, 0.0)) for w in (wind, wind + more))
    assert windy[FILM, watch.WIND] >= calm[FILM, watch.WIND]
    wet = chances(scenario, air(14.0, wind, rain))
    assert wet[BARE, watch.RAIN] >= calm[BARE, watch.RAIN]


def test_a_gap_in_the_weather_of_a_start_is_never_a_pass() -> None:
    whole = air(14.0, 2.0, 0.0)
    for gap in range(90, 96 + 73, 9):
        holed: Any = whole.air_C.copy()
        holed[gap : gap + 5] = np.nan
        answer = pour_check.check(pour(60, 18.0), replace(whole, air_C=holed), ASKED, days=1)
        late = gap - 96 > 0
        assert (answer.answer.code == "wait") == (late or gap + 5 > 96), gap
        assert all(o.start > ASKED + (gap - 96) * HOUR for o in answer.options)
