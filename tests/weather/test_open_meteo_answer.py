"""Reading an Open-Meteo answer: shapes from its documentation, numbers invented."""

import json
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.series import AirSeries
from models.errors import WeatherUnavailable
from service.weather import open_meteo
from tests.support.raw import JsonDict

START = datetime(2026, 5, 4, 0, tzinfo=UTC)
FETCHED = datetime(2026, 5, 4, 6, 20, tzinfo=UTC)
HOURS = 48


def answer(**layers: object) -> JsonDict:
    """A whole answer; a layer given here takes the place of the invented one."""
    hour = range(HOURS)
    columns: JsonDict = {
        "time": [f"{START + timedelta(hours=k):%Y-%m-%dT%H:%M}" for k in hour],
        "temperature_2m": [round(10.0 + 0.1 * k, 1) for k in hour],
        "relative_humidity_2m": [60 for _ in hour],
        "dew_point_2m": [6.0 for _ in hour],
        "wind_speed_10m": [2.5 for _ in hour],
        "precipitation": [0.0 for _ in hour],
        "precipitation_probability": [5 for _ in hour],
        "cloud_cover": [50 for _ in hour],
        "shortwave_radiation": [100.0 for _ in hour],
    }
    return {
        "latitude": 39.51,
        "longitude": -98.49,
        "generationtime_ms": 0.21,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "timezone_abbreviation": "GMT",
        "elevation": 521.0,
        "hourly_units": {
            "time": "iso8601",
            "temperature_2m": "°C",
            "relative_humidity_2m": "%",
            "dew_point_2m": "°C",
            "wind_speed_10m": "m/s",
            "precipitation": "mm",
            "precipitation_probability": "%",
            "cloud_cover": "%",
            "shortwave_radiation": "W/m²",
        },
        "hourly": columns | layers,
    }


def parsed(document: object, fetched_at: datetime = FETCHED) -> AirSeries:
    return open_meteo.read(open_meteo.opened(json.dumps(document).encode()), fetched_at)[0]


def refused(document: object, fetched_at: datetime = FETCHED) -> WeatherUnavailable:
    with pytest.raises(WeatherUnavailable) as caught:
        parsed(document, fetched_at)
    assert caught.value.provider == "Open-Meteo"
    assert caught.value.retry_after_s is not None
    return caught.value


def in_hour(k: int, value: object, otherwise: object = 0.0, hours: int = HOURS) -> list[object]:
    return [value if j == k else otherwise for j in range(hours)]


def test_a_whole_answer_is_read_hour_by_hour() -> None:
    air = parsed(answer())
    assert air.start == START
    assert air.hours == HOURS
    assert air.issued_at == FETCHED
    assert air.source == "Open-Meteo forecast"
    assert air.air_C[3] == pytest.approx(10.3)
    assert air.dew_point_C[3] == 6.0
    assert air.wind_m_s[3] == 2.5
    assert air.cloud_fraction[3] == 0.5


def test_rain_sun_and_chance_belong_to_the_hour_before_the_time_beside_them() -> None:
    air = parsed(
        answer(
            precipitation=in_hour(13, 1.2),
            precipitation_probability=in_hour(13, 90, 0),
            shortwave_radiation=in_hour(13, 640.0),
        )
    )
    assert np.flatnonzero(air.rain_mm > 0).tolist() == [12]
    assert air.rain_mm[12] == 1.2
    assert air.rain_chance[12] == pytest.approx(0.9)
    assert air.shortwave_W_m2[12] == 640.0
    for column in (air.rain_mm, air.rain_chance, air.shortwave_W_m2):
        assert np.isnan(column[-1]), "what falls in the last hour stands beside the next time"


def test_temperature_wind_and_cloud_stay_at_their_time() -> None:
    air = parsed(answer(temperature_2m=in_hour(13, 12.0, 8.0), wind_speed_10m=in_hour(13, 9.0)))
    assert air.air_C[13] == 12.0
    assert air.wind_m_s[13] == 9.0


def test_an_answer_that_ends_in_nulls_is_cut_at_its_last_temperature() -> None:
    """Case 42: a model that is shorter than what was asked."""
    document = answer(temperature_2m=[8.0] * 40 + [None] * 8)
    air = parsed(document)
    assert air.hours == 40
    assert air.end == START + timedelta(hours=39)
    assert np.isfinite(air.rain_mm[39])


def test_a_null_in_the_middle_stays_missing() -> None:
    air = parsed(answer(temperature_2m=in_hour(20, None, 8.0), wind_speed_10m=in_hour(5, None)))
    assert np.isnan(air.air_C[20])
    assert np.isnan(air.dew_point_C[20])
    assert np.isnan(air.wind_m_s[5])
    assert air.wind_m_s[4] == 0.0, "calm is a value"


def test_an_hour_that_has_no_row_is_missing_and_the_rest_stays_in_its_place() -> None:
    document = answer()
    for column in document["hourly"].values():
        del column[20]
    air = parsed(document)
    assert air.hours == HOURS
    assert np.isnan(air.air_C[20])
    assert air.air_C[21] == pytest.approx(12.1)
    assert np.isnan(air.rain_mm[20]), "the amount after a gap is of nobody knows how many hours"


def test_kilometres_an_hour_are_read_as_what_they_are() -> None:
    """Case 45: the service's own default when `ms` is not honoured."""
    document = answer(wind_speed_10m=[36.0] * HOURS)
    document["hourly_units"]["wind_speed_10m"] = "km/h"
    assert parsed(document).wind_m_s == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("layer", "unit", "told", "ours", "meant"),
    [
        ("temperature_2m", "°F", 50.0, "air_C", 10.0),
        ("temperature_2m", "K", 283.15, "air_C", 10.0),
        ("wind_speed_10m", "mp/h", 10.0, "wind_m_s", 4.4704),
        ("wind_speed_10m", "kn", 10.0, "wind_m_s", 5.14444),
        ("precipitation", "inch", 0.1, "rain_mm", 2.54),
    ],
)
def test_units_the_service_can_answer_in_are_converted(
    layer: str, unit: str, told: float, ours: str, meant: float
) -> None:
    document = answer(**{layer: [told] * HOURS})
    document["hourly_units"][layer] = unit
    assert getattr(parsed(document), ours)[5] == pytest.approx(meant, rel=1e-5)


@pytest.mark.parametrize("unit", ["furlong/h", "", None, 3])
def test_wind_in_a_unit_nobody_knows_is_missing_and_the_rest_is_kept(unit: object) -> None:
    document = answer()
    document["hourly_units"]["wind_speed_10m"] = unit
    air = parsed(document)
    assert np.isnan(air.wind_m_s).all()
    assert np.isfinite(air.air_C).all()


def test_a_temperature_in_an_unknown_unit_is_no_weather() -> None:
    document = answer()
    document["hourly_units"]["temperature_2m"] = "°R"
    assert "°R" in refused(document).reason


def test_times_of_another_zone_are_brought_back_to_utc() -> None:
    """Case 47: one offset for the whole answer, whatever zone was asked for."""
    document = answer()
    document |= {"utc_offset_seconds": -18000, "timezone": "America/Chicago"}
    air = parsed(document)
    assert air.start == START + timedelta(hours=5)
    assert air.air_C[0] == 10.0


def test_times_half_past_the_hour_are_refused_not_moved() -> None:
    document = answer()
    document |= {"utc_offset_seconds": 19800, "timezone": "Asia/Kolkata"}
    assert "whole hours" in refused(document).reason


@pytest.mark.parametrize("offset", ["0", None, True, 1e9])
def test_an_answer_that_does_not_say_its_offset_is_refused(offset: object) -> None:
    document = answer() | {"utc_offset_seconds": offset, "timezone": "Europe/Oslo"}
    assert "offset" in refused(document).reason


def test_seconds_since_1970_are_read_as_utc() -> None:
    document = answer(time=[int(START.timestamp()) + 3600 * k for k in range(HOURS)])
    document["hourly_units"]["time"] = "unixtime"
    assert parsed(document).start == START


def test_of_several_places_the_first_is_taken() -> None:
    """Case 48: an array for a list of coordinates."""
    other = answer(temperature_2m=[-5.0] * HOURS)
    assert parsed([answer(), other]).air_C[0] == 10.0


def test_elevation_may_be_absent() -> None:
    """Case 49."""
    document = answer()
    del document["elevation"]
    assert parsed(document).hours == HOURS


def test_a_model_name_behind_the_variables_is_looked_through() -> None:
    """Case 44: a server that was told which model to use."""
    document = answer()
    for part in ("hourly", "hourly_units"):
        document[part] = {
            name if name == "time" else f"{name}_icon_seamless": value
            for name, value in document[part].items()
        }
    air = parsed(document)
    assert air.air_C[0] == 10.0
    assert air.wind_m_s[0] == 2.5


@pytest.mark.parametrize("suffix", ["_spread", "_member01", "_previous_day1", "_member01_gem"])
def test_a_spread_or_a_lone_member_is_not_taken_for_the_temperature(suffix: str) -> None:
    document = answer()
    for part in ("hourly", "hourly_units"):
        document[part]["temperature_2m" + suffix] = document[part].pop("temperature_2m")
    assert "no air temperature" in refused(document).reason


def test_a_layer_shorter_than_the_times_is_missing_at_its_end() -> None:
    """Case 43."""
    air = parsed(answer(cloud_cover=[100] * 30))
    assert air.cloud_fraction[29] == 1.0
    assert np.isnan(air.cloud_fraction[30:]).all()


def test_a_layer_longer_than_the_times_is_left_out() -> None:
    assert np.isnan(parsed(answer(cloud_cover=[100] * 60)).cloud_fraction).all()


def test_dew_point_counts_where_humidity_says_otherwise() -> None:
    air = parsed(answer(relative_humidity_2m=[20] * HOURS, dew_point_2m=[6.0] * HOURS))
    assert air.dew_point_C[0] == 6.0


def test_without_a_dew_point_the_humidity_gives_it() -> None:
    """Magnus over water by hand: 20 C and 50 % make 9.3 C."""
    air = parsed(
        answer(
            temperature_2m=[20.0] * HOURS,
            relative_humidity_2m=[50] * HOURS,
            dew_point_2m=[None] * HOURS,
        )
    )
    assert air.dew_point_C == pytest.approx(9.26, abs=0.05)


def test_a_dew_point_above_the_air_is_not_believed() -> None:
    air = parsed(
        answer(
            temperature_2m=[10.0] * HOURS,
            dew_point_2m=in_hour(7, 18.0, 6.0),
            relative_humidity_2m=in_hour(7, None, 80),
        )
    )
    assert np.isnan(air.dew_point_C[7])
    assert air.dew_point_C[8] == 6.0


def test_a_dew_point_above_the_air_by_rounding_is_the_air() -> None:
    air = parsed(answer(temperature_2m=[10.0] * HOURS, dew_point_2m=[10.1] * HOURS))
    assert air.dew_point_C[3] == 10.0


@pytest.mark.parametrize(
    ("layer", "ours", "impossible"),
    [
        ("wind_speed_10m", "wind_m_s", 468.6),
        ("wind_speed_10m", "wind_m_s", -1.0),
        ("precipitation", "rain_mm", 9999.0),
        ("cloud_cover", "cloud_fraction", 130),
        ("shortwave_radiation", "shortwave_W_m2", -50.0),
        ("precipitation_probability", "rain_chance", 101),
        ("wind_speed_10m", "wind_m_s", "2.5"),
        ("wind_speed_10m", "wind_m_s", True),
        ("wind_speed_10m", "wind_m_s", 10**400),
    ],
)
def test_an_impossible_number_is_missing(layer: str, ours: str, impossible: object) -> None:
    air = parsed(answer(**{layer: in_hour(20, impossible, 1)}))
    missing = np.isnan(getattr(air, ours)[1:46])
    assert missing.sum() == 1


def test_a_temperature_no_yard_ever_had_is_missing() -> None:
    air = parsed(answer(temperature_2m=in_hour(20, 99.9, 10.0)))
    assert np.isnan(air.air_C[20])


def test_a_lone_spike_is_missing_and_a_front_is_kept() -> None:
    """Case 72."""
    spike = parsed(answer(temperature_2m=in_hour(20, 30.0, 10.0)))
    assert np.flatnonzero(np.isnan(spike.air_C)).tolist() == [20]
    front = parsed(answer(temperature_2m=[20.0] * 20 + [5.0] * 28, dew_point_2m=[2.0] * HOURS))
    assert np.isfinite(front.air_C).all()
    thaw = [-15.0] * 20 + [0.0] + [15.0] * 27
    dry = {"dew_point_2m": [-20.0] * HOURS, "relative_humidity_2m": [7] * HOURS}
    assert np.isfinite(parsed(answer(temperature_2m=thaw, **dry)).air_C).all()


def test_air_so_cold_and_dry_that_its_dew_point_has_no_number_is_missing_one() -> None:
    air = parsed(
        answer(
            temperature_2m=[-58.0] * HOURS,
            relative_humidity_2m=[1] * HOURS,
            dew_point_2m=[None] * HOURS,
        )
    )
    assert np.isnan(air.dew_point_C).all()
    assert np.isfinite(air.air_C).all()


def test_fewer_than_a_day_ahead_is_no_forecast() -> None:
    late = START + timedelta(hours=HOURS - 23)
    assert "23 hours" in refused(answer(), late).reason
    assert parsed(answer(), late - timedelta(hours=1)).hours == HOURS


def test_an_answer_without_any_temperature_is_no_weather() -> None:
    """Case 73."""
    assert "no air temperature" in refused(answer(temperature_2m=[None] * HOURS)).reason


def test_times_that_do_not_rise_are_refused() -> None:
    document = answer()
    stamps = document["hourly"]["time"]
    stamps[10], stamps[11] = stamps[11], stamps[10]
    assert "rise" in refused(document).reason
    document["hourly"]["time"][11] = document["hourly"]["time"][10]
    assert "rise" in refused(document).reason


@pytest.mark.parametrize(
    "stamps",
    [[], None, "2026-05-04T00:00", [17] * HOURS, ["May 4"] * HOURS, [None] * HOURS],
)
def test_times_that_cannot_be_read_are_refused(stamps: object) -> None:
    refused(answer(time=stamps))


def test_times_of_many_years_are_refused_before_they_fill_the_memory() -> None:
    document = answer(time=[f"{1000 + 100 * k}-01-01T00:00" for k in range(HOURS)])
    assert "spans" in refused(document).reason


@pytest.mark.parametrize(
    "document",
    [
        [],
        "weather",
        17,
        None,
        {},
        {"hourly": []},
        {"hourly": {}, "hourly_units": {}},
        {"hourly": {"time": ["2026-05-04T00:00"]}},
        {"error": True, "reason": "Something went wrong."},
        answer() | {"error": True, "reason": "stopped in the middle"},
    ],
)
def test_what_is_no_weather_is_refused(document: object) -> None:
    refused(document)


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"<html>busy</html>",
        json.dumps(answer()).encode()[:900],
        json.dumps(answer()).encode() + b"Unexpected error while streaming",
        b"\xff\xfe\x00",
        b"[" * 200_000,
    ],
)
def test_what_is_not_json_is_refused(raw: bytes) -> None:
    with pytest.raises(WeatherUnavailable, match="not JSON"):
        open_meteo.read(open_meteo.opened(raw), FETCHED)
