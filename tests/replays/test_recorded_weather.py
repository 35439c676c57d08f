"""Days of a pour's life on recorded answers: no step is blocked while some service answers.

A short sample of what `tests/bench/recorded_weather.py` does for 28 days on every path.
"""

import logging
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.air.series import AirSeries
from models.records import Place
from service.actions.weather import place_air
from service.actions.weather.score_forecasts import score_place
from service.queries.rows import find
from service.store import Store
from tests.support.shop import Bench

HOUR = timedelta(hours=1)


@pytest.fixture(scope="module")
def life(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("replays/recorded_life.py")


def test_the_measurement_of_it_may_be_imported_beside_tests_that_read_the_log(
    loaded: Callable[[str], ModuleType],
) -> None:
    loaded("bench/recorded_weather.py")
    assert logging.root.manager.disable == logging.NOTSET


def past(store: Store, bench: Bench, now: datetime, begin: datetime) -> AirSeries:
    with store.reading() as session:
        told = place_air.joined(session, find(session, Place, bench.place_id), now, begin).air
    assert isinstance(told, AirSeries)
    return told


@pytest.mark.parametrize("key", ["met", "nws", "nws-gone", "met-om", "dry"])
def test_nothing_is_blocked_and_frost_is_looked_for_throughout(
    store: Store, bench: Bench, life: ModuleType, key: str
) -> None:
    """E1, E2, E6. Seen two and four days after placing: older than any grid."""
    found = life.live(store, bench, life.PATHS[key], 4.0, 12.0, 48.0)
    assert found.looked_h == [0, 48, 96]
    assert (found.blocked_h, found.blocked_steps) == ([], {})
    assert found.unasked_h == []


def test_the_past_of_a_pour_is_known_hour_by_hour_with_the_doubt_of_its_lead(
    store: Store, bench: Bench, life: ModuleType
) -> None:
    path = life.PATHS["met"]
    life.live(store, bench, path, 6.0, 6.0, 10_000.0)
    now = path.placed_at + 6 * 24 * HOUR
    air = past(store, bench, now, path.placed_at)
    lived = air.between(path.placed_at, now - HOUR)
    assert lived.missing(path.placed_at, now - HOUR) == []
    assert (lived.leads() >= 0).all(), "nobody saw any of these hours"
    assert float(lived.leads().max()) < 7.0, "refreshed every six hours"
    assert air.missing(now, now + 48 * HOUR) == []


def test_hours_that_an_nws_grid_alone_has_seen_outlive_the_tidying(
    store: Store, bench: Bench, life: ModuleType
) -> None:
    """E2: its grid reaches eight hours back, and of old runs one a day is kept."""
    path = life.PATHS["nws"]
    life.live(store, bench, path, 5.0, 6.0, 10_000.0)
    now = path.placed_at + 5 * 24 * HOUR
    lived = past(store, bench, now, path.placed_at).between(path.placed_at, now - 3 * HOUR)
    assert np.isfinite(lived.air_C).all()
    assert (lived.leads() < 0).all(), "the office analysed each hour within the next eight"


def test_when_no_service_answers_all_is_blocked_after_three_days(
    store: Store, bench: Bench, life: ModuleType
) -> None:
    path = replace(life.PATHS["met"], up=lambda hour: ("met-norway",) if hour < 24 else ())
    found = life.live(store, bench, path, 6.0, 24.0, 48.0)
    assert found.looked_h == [0, 48, 96, 144]
    assert found.blocked_h == [96, 144]


def test_after_days_without_any_service_the_hours_between_are_what_was_foretold(
    store: Store, bench: Bench, life: ModuleType
) -> None:
    base = life.PATHS["met"]
    path = replace(base, up=lambda hour: () if 24 <= hour < 120 else ("met-norway",))
    found = life.live(store, bench, path, 6.0, 6.0, 144.0)
    assert found.blocked_h == []
    now = path.placed_at + 144 * HOUR
    lived = past(store, bench, now, path.placed_at).between(path.placed_at, now - HOUR)
    assert 90 < float(lived.leads().max()) < 110, "the doubt is that of four days ahead"


def test_the_scores_learn_from_a_service_that_tells_no_past(
    store: Store, bench: Bench, life: ModuleType
) -> None:
    path = life.PATHS["met"]
    life.live(store, bench, path, 10.0, 12.0, 10_000.0)
    score_place(store, path.placed_at + 10 * 24 * HOUR, bench.place_id)
    with store.reading() as session:
        calibrated = place_air.forecast_scores(find(session, Place, bench.place_id))
    assert {one.from_h for one in calibrated} >= {12.0, 24.0, 48.0}
    assert max(one.days for one in calibrated) >= 7
