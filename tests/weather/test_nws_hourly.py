"""Reading the hourly text forecast: local times, winds in words, nulls."""

from datetime import UTC, datetime

import numpy as np
import pytest

from models.units import Array
from service.weather import nws_hourly
from service.weather.answer import Frame
from tests.support.raw import JsonDict

FRAME = Frame(datetime(2026, 5, 4, 9, tzinfo=UTC), 4)


def period(**changed: object) -> JsonDict:
    return {
        "number": 1,
        "name": "",
        "startTime": "2026-05-04T05:00:00-05:00",
        "endTime": "2026-05-04T06:00:00-05:00",
        "isDaytime": False,
        "temperature": 50,
        "temperatureUnit": "F",
        "temperatureTrend": "",
        "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": None},
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": 7.222222222222222},
        "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 76},
        "windSpeed": "10 mph",
        "windDirection": "S",
        "shortForecast": "Partly Cloudy",
    } | changed


def read(*periods: object) -> dict[str, Array]:
    return nws_hourly.columns({"periods": list(periods)}, FRAME, [])


def test_a_period_is_read_by_its_offset_and_its_units() -> None:
    """Case 34: 05:00 at -05:00 is 10 UTC; 50 F is 10 C while the dew point is in C already."""
    told = read(period())
    assert told["air_C"] == pytest.approx([np.nan, 10.0, np.nan, np.nan], nan_ok=True)
    assert told["dew_point_C"][1] == pytest.approx(7.222, abs=0.001)
    assert told["rh_fraction"][1] == pytest.approx(0.76)


@pytest.mark.parametrize(
    ("words", "m_s"),
    [
        ("10 mph", 4.4704),
        ("5 to 10 mph", 3.3528),
        ("9 km/h", 2.5),
        ("0 mph", 0.0),
        ("10 kt", 5.14444),
        ({"unitCode": "wmoUnit:km_h-1", "value": 36}, 10.0),
        ({"unitCode": "wmoUnit:km_h-1", "minValue": 18, "maxValue": 54}, 10.0),
    ],
)
def test_wind_in_words_or_as_a_number(words: object, m_s: float) -> None:
    """Case 34: of a range the middle."""
    assert read(period(windSpeed=words))["wind_m_s"][1] == pytest.approx(m_s, rel=1e-4)


@pytest.mark.parametrize("words", ["", "breezy", "10", "mph", None, 10, "10 furlongs", {}])
def test_wind_that_nobody_understands_is_missing(words: object) -> None:
    told = read(period(windSpeed=words))
    assert np.isnan(told["wind_m_s"][1])
    assert told["air_C"][1] == pytest.approx(10.0)


@pytest.mark.parametrize("trend", ["", None, "rising"])
def test_a_trend_does_not_matter(trend: object) -> None:
    assert read(period(temperatureTrend=trend))["air_C"][1] == pytest.approx(10.0)


def test_a_chance_of_null_is_missing_and_one_of_zero_is_not() -> None:
    """Case 34."""
    assert np.isnan(read(period())["rain_chance"][1])
    zero = {"unitCode": "wmoUnit:percent", "value": 0}
    assert read(period(probabilityOfPrecipitation=zero))["rain_chance"][1] == 0.0


@pytest.mark.parametrize(
    ("told", "unit", "meant"),
    [
        (10, "C", 10.0),
        ({"unitCode": "wmoUnit:degC", "value": 10.0}, None, 10.0),
        ({"unitCode": "wmoUnit:degF", "value": 50}, "C", 10.0),
        (50, "X", np.nan),
        (50, None, np.nan),
        ("50", "F", np.nan),
        (None, "F", np.nan),
    ],
)
def test_a_temperature_with_its_unit_or_none(told: object, unit: object, meant: float) -> None:
    """Case 34: a number with its unit beside it, or with its code under a feature flag."""
    column = read(period(temperature=told, temperatureUnit=unit))["air_C"]
    assert column[1] == pytest.approx(meant, nan_ok=True)


def test_two_hours_named_alike_are_told_apart_by_their_offset() -> None:
    """Case 55: 01:00 comes twice on 3 November 2013 in New York: 05 and 06 UTC."""
    frame = Frame(datetime(2013, 11, 3, 4, tzinfo=UTC), 4)
    first = period(
        startTime="2013-11-03T01:00:00-04:00", endTime="2013-11-03T01:00:00-05:00", temperature=52
    )
    second = period(
        startTime="2013-11-03T01:00:00-05:00", endTime="2013-11-03T02:00:00-05:00", temperature=50
    )
    notes: list[str] = []
    told = nws_hourly.columns({"periods": [second, first]}, frame, notes)
    assert notes == []
    assert told["air_C"] == pytest.approx([np.nan, 11.11, 10.0, np.nan], abs=0.01, nan_ok=True)


@pytest.mark.parametrize(
    "broken",
    [
        None,
        "x",
        {},
        period(startTime="2026-05-04T05:00:00"),
        period(endTime=None),
        period(endTime="2026-05-04T05:00:00-05:00"),
    ],
)
def test_a_period_that_cannot_be_read_is_left_out_and_counted(broken: object) -> None:
    notes: list[str] = []
    told = nws_hourly.columns({"periods": [broken]}, FRAME, notes)
    assert np.isnan(told["air_C"]).all()
    assert notes == ["hourly text forecast: 1 periods cannot be read"]


def test_without_periods_there_is_nothing() -> None:
    for properties in ({}, {"periods": None}, {"periods": "many"}):
        assert nws_hourly.columns(properties, FRAME, []) == {}


def test_an_amount_of_rain_is_not_in_it() -> None:
    assert "rain_mm" not in read(period())
