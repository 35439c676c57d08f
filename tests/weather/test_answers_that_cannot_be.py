"""Answers that are read without fault and cannot be: another unit, hour, place or year (A28).

Recorded answers of tests/data/recorded, changed in that one way, through the real readers.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.air import plausible
from models.air.series import AirSeries
from models.errors import WeatherUnavailable
from service.weather.chain import Chain
from service.weather.copies import Copy
from service.weather.health import Watched
from service.weather.met_norway import MetNorway
from service.weather.open_meteo import OpenMeteo
from tests.replays.recorded_life import Replayer
from tests.support.raw import JsonDict

HOUR = timedelta(hours=1)
MAY = datetime(2022, 5, 19, 9, tzinfo=UTC)
OSLO = (59.0, 10.0)


@pytest.fixture(scope="module")
def life(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("replays/recorded_life.py")


def asked(life: ModuleType, change: Callable[[JsonDict], None], now: datetime = MAY) -> AirSeries:
    """MET Norway's answer with one change, as the chain gives it; alone it must fail."""

    class Changed(Replayer):
        def get_copy(
            self,
            provider: str,
            url: str,
            parameters: Mapping[str, str],
            now: datetime,
            explain: object,
            accept: str = "",
            patience: object = None,
        ) -> Copy:
            copy = super().get_copy(provider, url, parameters, now, explain, accept, patience)
            document = json.loads(copy.body)
            change(document)
            return replace(copy, body=json.dumps(document).encode())

    service = Watched(MetNorway(Changed(path=life.PATHS["met"])), "")
    return Chain({"met-norway": service}, ("met-norway",)).forecast(*OSLO, now)


def details(document: JsonDict) -> list[JsonDict]:
    rows = document["properties"]["timeseries"]
    return [p["details"] for row in rows for p in row["data"].values() if "details" in p]


def in_fahrenheit(document: JsonDict) -> None:
    for one in details(document):
        for name in one:
            if "temperature" in name:
                one[name] = 1.8 * one[name] + 32


def days_moved(days: float) -> Callable[[JsonDict], None]:
    def change(document: JsonDict) -> None:
        for row in document["properties"]["timeseries"]:
            at = datetime.fromisoformat(row["time"]) + timedelta(days=days)
            row["time"] = f"{at:%Y-%m-%dT%H:%M:%SZ}"

    return change


def nowhere(document: JsonDict) -> None:
    document["geometry"]["coordinates"][1] = None


def test_the_recorded_answer_itself_is_believed(life: ModuleType) -> None:
    air = asked(life, lambda document: None)
    assert air.source == "MET Norway forecast"
    assert plausible.swing_K(air.air_C, np.arange(air.hours, dtype=float) % 24) != 0


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (in_fahrenheit, "60 C at latitude 59 in May"),
        (days_moved(0.5), "nights .* warmer than afternoons"),
        (days_moved(365), "hours ahead"),
        (days_moved(30), "hours ahead"),
        (nowhere, "the answer is for nan"),
    ],
)
def test_what_cannot_be_true_of_that_place_and_time_is_not_believed(
    life: ModuleType, change: Callable[[JsonDict], None], words: str
) -> None:
    with pytest.raises(WeatherUnavailable, match=words):
        asked(life, change)


def test_degrees_of_another_unit_are_seen_in_the_humidity_too(life: ModuleType) -> None:
    """In a frost 20 degF pass for a mild day; told beside a humidity they do not."""

    def frost(document: JsonDict) -> None:
        for one in details(document):
            for name in one:
                if "temperature" in name:
                    one[name] = 1.8 * (one[name] - 21) + 32

    with pytest.raises(WeatherUnavailable, match="humidity is over that of its temperatures"):
        asked(life, frost)


def test_winter_in_new_jersey_and_a_hot_week_in_brasilia_are_believed(life: ModuleType) -> None:
    for key, where, now in (
        ("om-met", (40.628, -74.425), datetime(2025, 12, 28, 18, tzinfo=UTC)),
        ("dry", (42.745, -73.752), datetime(2025, 8, 6, 18, tzinfo=UTC)),
    ):
        service = Watched(OpenMeteo(life.Replayer(path=life.PATHS[key])), "")
        assert service.forecast(*where, now).source == "Open-Meteo forecast"


@pytest.mark.parametrize(
    ("place", "latitude", "at", "record_C"),
    [
        ("Death Valley", 36.5, datetime(1913, 7, 10, tzinfo=UTC), 56.7),
        ("Verkhoyansk", 67.6, datetime(2020, 6, 20, tzinfo=UTC), 38.0),
        ("Oodnadatta", -27.5, datetime(1960, 1, 2, tzinfo=UTC), 50.7),
        ("Esperanza", -63.4, datetime(2020, 2, 6, tzinfo=UTC), 18.3),
        ("Verkhoyansk", 67.6, datetime(1892, 2, 7, tzinfo=UTC), -67.8),
        ("Snag", 62.4, datetime(1947, 2, 3, tzinfo=UTC), -63.0),
        ("Rogers Pass", 47.1, datetime(1954, 1, 20, tzinfo=UTC), -56.5),
        ("Sarmiento", -45.6, datetime(1907, 6, 1, tzinfo=UTC), -33.0),
        ("Ifrane", 33.5, datetime(1935, 2, 11, tzinfo=UTC), -24.0),
        ("Charlotte Pass", -36.4, datetime(1994, 6, 29, tzinfo=UTC), -23.0),
        ("Mauna Kea", 19.8, datetime(1979, 5, 17, tzinfo=UTC), -11.1),
    ],
)
def test_no_record_of_the_world_lies_outside_the_limits(
    place: str, latitude: float, at: datetime, record_C: float
) -> None:
    """Source: WMO_EXTREMES. Latitudes from memory."""
    low, high = plausible.hour_limits(latitude, at)
    assert low < record_C < high, place


def test_no_five_days_at_newark_in_2013_are_doubted(record_2013: ModuleType) -> None:
    begin = datetime(2013, 1, 1, tzinfo=UTC)
    air = record_2013.series_2013("EWR", begin, begin + timedelta(days=360))
    for first in range(0, air.hours - 120, 60):
        week = air.between(air.start + first * HOUR, air.start + (first + 119) * HOUR)
        assert plausible.impossible(week, 40.7, -74.2) == "", week.start
        moved = replace(week, start=week.start + 12 * HOUR)
        assert plausible.swing_K(moved.air_C, (moved.start.hour + np.arange(120) - 4.9) % 24) < 0
