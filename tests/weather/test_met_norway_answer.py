"""Reading a Locationforecast answer: shapes from its documentation, numbers invented."""

import json
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.series import AirSeries
from models.errors import WeatherUnavailable
from service.weather import met_norway
from tests.support.raw import JsonDict

START = datetime(2026, 5, 4, 9, tzinfo=UTC)
NOW = datetime(2026, 5, 4, 9, 10, tzinfo=UTC)
HOURLY, TAIL = 33, 8  # until 18:00 on the next day, then eight steps of six hours
UNITS = {
    "air_temperature": "celsius",
    "air_temperature_percentile_10": "celsius",
    "air_temperature_percentile_90": "celsius",
    "cloud_area_fraction": "%",
    "dew_point_temperature": "celsius",
    "precipitation_amount": "mm",
    "probability_of_precipitation": "%",
    "relative_humidity": "%",
    "wind_speed": "m/s",
}


def following(mm: float | None) -> JsonDict:
    details = {} if mm is None else {"precipitation_amount": mm}
    return {"summary": {"symbol_code": "cloudy"}, "details": details}


def step(at: datetime, **details: float) -> JsonDict:
    usual = {
        "air_temperature": 11.0,
        "dew_point_temperature": 7.0,
        "relative_humidity": 76.5,
        "wind_speed": 2.5,
        "cloud_area_fraction": 50.0,
    }
    return {
        "time": f"{at:%Y-%m-%dT%H:%M:%SZ}",
        "data": {"instant": {"details": usual | details}},
    }


def answer(start: datetime = START) -> JsonDict:
    """Hourly, then six-hourly; the last step tells only its moment."""
    hours = [*range(HOURLY), *(HOURLY + 6 * k for k in range(TAIL))]
    steps = [step(start + timedelta(hours=k)) for k in hours]
    for k, one in enumerate(steps[:-1]):
        if k < HOURLY:
            one["data"]["next_1_hours"] = following(0.0)
        one["data"]["next_6_hours"] = following(0.0)
        one["data"]["next_12_hours"] = {"summary": {"symbol_code": "cloudy"}, "details": {}}
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-98.5, 39.5, 521]},
        "properties": {
            "meta": {"updated_at": "2026-05-04T08:31:07Z", "units": dict(UNITS)},
            "timeseries": steps,
        },
    }


def steps(document: JsonDict) -> list[JsonDict]:
    rows: list[JsonDict] = document["properties"]["timeseries"]
    return rows


def details(document: JsonDict, k: int) -> JsonDict:
    told: JsonDict = steps(document)[k]["data"]["instant"]["details"]
    return told


def parsed(document: object, now: datetime = NOW) -> AirSeries:
    return met_norway.read(json.dumps(document).encode(), now)[0]


def refused(document: object, now: datetime = NOW) -> WeatherUnavailable:
    with pytest.raises(WeatherUnavailable) as caught:
        parsed(document, now)
    assert caught.value.provider == "MET Norway"
    assert caught.value.retry_after_s is not None
    return caught.value


def test_a_whole_answer_is_read_hour_by_hour() -> None:
    air = parsed(answer())
    assert air.start == START
    assert air.hours == HOURLY + 6 * (TAIL - 1) + 1
    assert air.issued_at == datetime(2026, 5, 4, 8, 31, 7, tzinfo=UTC)
    assert air.source == "MET Norway forecast"
    assert air.air_C[3] == 11.0
    assert air.wind_m_s[3] == 2.5
    assert air.cloud_fraction[3] == 0.5
    assert np.isnan(air.shortwave_W_m2).all()


def test_rain_falls_in_the_hour_that_follows() -> None:
    """The opposite of services that tell the hour before."""
    document = answer()
    steps(document)[4]["data"]["next_1_hours"] = following(1.2)
    assert np.flatnonzero(parsed(document).rain_mm > 0).tolist() == [4]


def test_six_hours_of_rain_are_spread_and_not_taken_for_one() -> None:
    """Cases 38, 41."""
    document = answer()
    steps(document)[HOURLY + 1]["data"]["next_6_hours"] = following(3.0)
    air = parsed(document)
    assert air.rain_mm[HOURLY + 6 : HOURLY + 12] == pytest.approx([0.5] * 6)
    assert np.nansum(air.rain_mm) == pytest.approx(3.0)


def test_an_hour_that_is_not_told_gets_what_is_left_of_the_six() -> None:
    """Case 37: of 3.0 mm the five told hours have 2.5."""
    document = answer()
    for k in range(5, 11):
        steps(document)[k]["data"]["next_1_hours"] = following(0.5)
    del steps(document)[5]["data"]["next_1_hours"]
    steps(document)[5]["data"]["next_6_hours"] = following(3.0)
    assert parsed(document).rain_mm[5:11] == pytest.approx([0.5] * 6)
    steps(document)[5]["data"]["next_6_hours"] = following(2.0)
    assert parsed(document).rain_mm[5] == 0.0


def test_rain_that_nobody_tells_is_missing_not_dry() -> None:
    """Cases 37, 40: neither one hour nor six, or empty `details`."""
    empties: tuple[object, ...] = (
        {},
        {"details": {}},
        following(None),
        None,
        [],
        {"details": None},
    )
    for empty in empties:
        document = answer()
        for k in range(20):
            steps(document)[k]["data"] |= {"next_1_hours": empty, "next_6_hours": empty}
        rain = parsed(document).rain_mm
        assert np.isnan(rain[:20]).all()
        assert rain[20] == 0.0


def test_the_last_step_tells_no_rain() -> None:
    air = parsed(answer())
    assert air.rain_mm[-2] == 0.0
    assert np.isnan(air.rain_mm[-1])


def test_chances_of_one_hour_or_of_six() -> None:
    document = answer()
    steps(document)[2]["data"]["next_1_hours"]["details"]["probability_of_precipitation"] = 30.0
    last = HOURLY + TAIL - 2
    steps(document)[last]["data"]["next_6_hours"]["details"]["probability_of_precipitation"] = 60.0
    chance = parsed(document).rain_chance
    assert chance[2] == pytest.approx(0.3)
    assert np.isnan(chance[3])
    assert chance[-7:-1] == pytest.approx([0.6] * 6)


def test_between_six_hourly_steps_the_temperature_never_leaves_its_ends() -> None:
    """Case 38: a monotone cubic makes no warmer noon and no colder night than was told."""
    document = answer()
    told = [11.0, 8.0, 8.0, 19.0, 14.0, 9.0, 9.5, 21.0]
    for k, value in enumerate(told):
        details(document, HOURLY + k)["air_temperature"] = value
    air = parsed(document).air_C
    assert air[HOURLY::6] == pytest.approx(told)
    for k in range(len(told) - 1):
        between = air[HOURLY + 6 * k : HOURLY + 6 * (k + 1) + 1]
        low, high = sorted(told[k : k + 2])
        assert ((between >= low - 1e-9) & (between <= high + 1e-9)).all()


def test_the_day_turns_slowly_at_its_warmest_step() -> None:
    """A monotone cubic is level at a turn (Fritsch and Carlson); a straight line would have 17.2 C
    an hour before."""
    document = answer()
    for k, value in enumerate([8.0, 8.0, 19.0, 14.0]):
        details(document, HOURLY + k)["air_temperature"] = value
    air = parsed(document).air_C
    assert 18.0 < air[HOURLY + 11] < 19.0


def test_wind_between_six_hourly_steps_runs_straight_and_says_so() -> None:
    document = answer()
    details(document, HOURLY + 1)["wind_speed"] = 8.5
    air, notes = met_norway.read(json.dumps(document).encode(), NOW)
    assert air.wind_m_s[HOURLY : HOURLY + 7] == pytest.approx([2.5, 3.5, 4.5, 5.5, 6.5, 7.5, 8.5])
    (note,) = notes
    assert "every 6 hours" in note
    assert "wind and cloud straight lines" in note


def test_across_a_step_that_does_not_tell_nothing_is_drawn() -> None:
    """Missing keys, not nulls; the hours up to the neighbours are missing with it."""
    document = answer()
    del details(document, HOURLY + 2)["air_temperature"]
    del details(document, 7)["air_temperature"]
    air = parsed(document).air_C
    gone = set(np.flatnonzero(np.isnan(air)).tolist())
    assert gone == {7, *range(HOURLY + 7, HOURLY + 18)}


def test_across_a_step_that_is_not_there_nothing_is_drawn() -> None:
    document = answer()
    del steps(document)[HOURLY + 2]
    air = parsed(document)
    assert np.isnan(air.air_C[HOURLY + 7 : HOURLY + 18]).all()
    assert np.isfinite(air.air_C[[HOURLY + 6, HOURLY + 18]]).all()


def test_without_a_dew_point_the_humidity_gives_it() -> None:
    """The compact form has none. Magnus over water by hand: 20 C and 50 % make 9.3 C."""
    document = answer()
    for k in range(len(steps(document))):
        del details(document, k)["dew_point_temperature"]
        details(document, k).update(air_temperature=20.0, relative_humidity=50.0)
    assert parsed(document).dew_point_C == pytest.approx(9.26, abs=0.05)


def percentiles(document: JsonDict, k: int, low: float, high: float) -> None:
    details(document, k)["air_temperature_percentile_10"] = low
    details(document, k)["air_temperature_percentile_90"] = high


def test_percentiles_become_a_standard_deviation() -> None:
    """(p90 - p10) / 2.563: of a normal distribution both lie 1.2816 sd off the middle."""
    document = answer()
    percentiles(document, 3, 10.4, 12.1)
    spread = parsed(document).spread_K
    assert spread[3] == pytest.approx(1.7 / 2.563)
    assert np.isnan(spread[4])


def test_between_six_hourly_steps_the_doubt_holds_what_the_cubic_misses() -> None:
    """0.95 K, measured on the hours of Newark 2013."""
    document = answer()
    for k in (HOURLY, HOURLY + 1):
        percentiles(document, k, 11.0 - 1.2815, 11.0 + 1.2815)
    spread = parsed(document).spread_K
    assert spread[[HOURLY, HOURLY + 6]] == pytest.approx([1.0, 1.0], abs=1e-3)
    assert spread[HOURLY + 1 : HOURLY + 6] == pytest.approx([np.hypot(1.0, 0.95)] * 5, abs=1e-3)


def test_without_percentiles_no_doubt_is_told() -> None:
    """Case 39."""
    assert np.isnan(parsed(answer()).spread_K).all()


def test_percentiles_the_wrong_way_round_tell_nothing() -> None:
    document = answer()
    percentiles(document, 3, 12.1, 10.4)
    assert np.isnan(parsed(document).spread_K[3])


@pytest.mark.parametrize("unit", ["fahrenheit", "K", "", None, 7])
def test_a_temperature_in_another_unit_is_no_weather(unit: object) -> None:
    document = answer()
    document["properties"]["meta"]["units"]["air_temperature"] = unit
    assert "no air temperature" in refused(document).reason


def test_wind_in_another_unit_is_missing_and_the_rest_is_kept() -> None:
    document = answer()
    document["properties"]["meta"]["units"]["wind_speed"] = "knots"
    air, notes = met_norway.read(json.dumps(document).encode(), NOW)
    assert np.isnan(air.wind_m_s).all()
    assert np.isfinite(air.air_C).all()
    assert any("'knots'" in note for note in notes)


@pytest.mark.parametrize("value", ["11", None, True, 99.9, -80.0, 10**400])
def test_an_impossible_temperature_is_missing_and_does_not_bend_its_neighbours(
    value: object,
) -> None:
    document = answer()
    details(document, HOURLY + 2)["air_temperature"] = value
    air = parsed(document).air_C
    assert np.isnan(air[HOURLY + 12])
    assert set(air[np.isfinite(air)].tolist()) == {11.0}


def test_a_flood_that_cannot_be_does_not_dry_the_hour_beside_it() -> None:
    """Of the 6.0 mm told from hour 4 on, hours 4 and 5 share what the dry ones left."""
    document = answer()
    steps(document)[5]["data"] |= {
        "next_1_hours": following(9999.0),
        "next_6_hours": following(None),
    }
    del steps(document)[4]["data"]["next_1_hours"]
    steps(document)[4]["data"]["next_6_hours"] = following(6.0)
    assert parsed(document).rain_mm[3:7] == pytest.approx([0.0, 3.0, 3.0, 0.0])


@pytest.mark.parametrize(
    "day", [datetime(2027, 12, 31, 9, tzinfo=UTC), datetime(2028, 2, 28, 9, tzinfo=UTC)]
)
def test_new_year_and_the_leap_day_are_hours_like_others(day: datetime) -> None:
    """Case 57."""
    document = answer(day)
    document["properties"]["meta"]["updated_at"] = day.isoformat()
    air = parsed(document, day)
    assert air.hours == HOURLY + 6 * (TAIL - 1) + 1
    assert np.isfinite(air.air_C).all()
    assert np.isfinite(air.rain_mm[:-1]).all()


def test_a_lone_spike_is_missing() -> None:
    document = answer()
    details(document, 9)["air_temperature"] = 30.0
    assert np.isnan(parsed(document).air_C[9])


def test_fewer_than_a_day_ahead_is_no_forecast() -> None:
    document = answer()
    document["properties"]["timeseries"] = steps(document)[:24]
    assert "23 hours ahead" in refused(document).reason


@pytest.mark.parametrize(
    "stamp", [None, "", "today", "2026-05-04T08:31:07", "2026-05-04T11:00:00Z", "2026-04-30T00:00Z"]
)
def test_an_answer_that_is_old_of_the_future_or_does_not_say_is_refused(stamp: object) -> None:
    """Cases 22, 23."""
    document = answer()
    document["properties"]["meta"]["updated_at"] = stamp
    assert "made" in refused(document).reason


@pytest.mark.parametrize(
    "times",
    [
        ["2026-05-04T09:00:00Z", "2026-05-04T09:00:00Z"],
        ["2026-05-04T10:00:00Z", "2026-05-04T09:00:00Z"],
        ["2026-05-04T09:30:00Z", "2026-05-04T10:30:00Z"],
        ["2026-05-04T09:00:00", "2026-05-04T10:00:00"],
        ["1026-05-04T09:00:00Z", "2026-05-04T10:00:00Z"],
        ["noon", None],
        [17, {}],
    ],
)
def test_times_that_make_no_row_of_hours_are_refused(times: list[object]) -> None:
    document = answer()
    for one, at in zip(steps(document)[:2], times, strict=True):
        one["time"] = at
    assert "times" in refused(document).reason or "spans" in refused(document).reason


@pytest.mark.parametrize(
    "document",
    [
        [],
        7,
        "x",
        {},
        {"properties": None},
        {"properties": {}},
        {"properties": {"timeseries": []}},
        {"properties": {"timeseries": [None]}},
        {"properties": {"meta": None, "timeseries": [{"time": "2026-05-04T09:00:00Z"}]}},
    ],
)
def test_what_is_no_weather_is_refused(document: object) -> None:
    refused(document)


@pytest.mark.parametrize("raw", [b"", b"<html>", b"\xff\xfe", b"[" * 200_000])
def test_what_is_not_json_is_refused(raw: bytes) -> None:
    with pytest.raises(WeatherUnavailable, match="not JSON"):
        met_norway.read(raw, NOW)
