"""Asking the National Weather Service's stand-in about a place, over a real socket."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.errors import InputError, WeatherUnavailable
from service.weather.answer import Frame
from service.weather.http import Caller
from service.weather.nws import Nws, _Request
from tests.stand_in.nws_shape import NwsRoute
from tests.stand_in.open_meteo_server import StandIn
from tests.support.raw import JsonDict

NEWARK = (40.69251, -74.16872)
HOUR = timedelta(hours=1)
GRID = r"/gridpoints/TST/\d+,\d+$"
HOURLY = "/forecast/hourly$"


def failure(
    provider: Nws, now: datetime, place: tuple[float, float] = NEWARK
) -> WeatherUnavailable:
    with pytest.raises(WeatherUnavailable) as caught:
        provider.forecast(*place, now)
    assert caught.value.provider == "National Weather Service"
    return caught.value


def asked(stand_in: StandIn) -> list[str]:
    return [request.path for request in stand_in.requests]


def test_the_coming_week_is_the_record(nws: Nws, record_2013: ModuleType, now: datetime) -> None:
    air = nws.forecast(*NEWARK, now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    ahead = round(air.hour_of(now.replace(minute=0))) + 1
    assert air.end == datetime(2013, 4, 28, 10, tzinfo=UTC)
    assert air.air_C[ahead:] == pytest.approx(truth.air_C[ahead:], abs=0.01, nan_ok=True)
    assert air.dew_point_C[ahead:] == pytest.approx(truth.dew_point_C[ahead:], abs=0.01)
    assert air.wind_m_s[ahead:] == pytest.approx(truth.wind_m_s[ahead:], abs=0.01, nan_ok=True)
    assert air.source == "National Weather Service forecast"
    assert np.isnan(air.cloud_fraction).all(), "the record has no sky, and none is invented"


def test_rain_falls_in_the_six_hours_it_fell_in(
    nws: Nws, record_2013: ModuleType, now: datetime
) -> None:
    air = nws.forecast(*NEWARK, now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    first = round(air.hour_of(datetime(2013, 4, 20, 12, tzinfo=UTC)))
    for k in range(first, air.hours - 6, 6):
        block = slice(k, k + 6)
        assert air.rain_mm[block].sum() == pytest.approx(truth.rain_mm[block].sum(), nan_ok=True)
        assert np.ptp(air.rain_mm[block]) < 1e-9
    assert np.nansum(truth.rain_mm[first:]) > 0.0, "it rained in that week"


def test_rain_that_reaches_less_far_than_the_temperature_ends_there(
    nws: Nws, nws_answers: NwsRoute, now: datetime
) -> None:
    """Case 33: 109 hours in one office."""
    nws_answers.qpf_hours = 101
    air = nws.forecast(*NEWARK, now)
    last = round(air.hour_of(now.replace(minute=0))) + 100
    assert np.isfinite(air.rain_mm[last])
    assert np.isnan(air.rain_mm[last + 1 :]).all()
    assert np.isfinite(air.air_C[last + 1 :]).all()


def test_the_past_is_what_the_nearest_station_measured(
    nws: Nws, record_2013: ModuleType, now: datetime, stand_in: StandIn
) -> None:
    air = nws.forecast(*NEWARK, now)
    assert air.start == datetime(2013, 4, 17, 15, tzinfo=UTC), "three days back"
    rows = record_2013.record("EWR")
    hour = datetime(2013, 4, 19, 10, tzinfo=UTC)
    meant = (53 * rows[hour]["air_C"] + 7 * rows[hour + HOUR]["air_C"]) / 60
    assert air.air_C[round(air.hour_of(hour))] == pytest.approx(meant, abs=1e-6)
    assert asked(stand_in)[-1] == "/stations/K0ST/observations"
    assert stand_in.requests[-1].query == {"start": "2013-04-17T14:00:00Z", "limit": "500"}


def test_the_question_names_us_and_says_which_form_it_wants(
    nws: Nws, stand_in: StandIn, now: datetime
) -> None:
    nws.forecast(*NEWARK, now)
    assert asked(stand_in)[:3] == [
        "/points/40.693,-74.169",
        "/gridpoints/TST/0,0/stations",
        "/gridpoints/TST/0,0",
    ]
    for request in stand_in.requests:
        assert request.headers["User-Agent"].startswith("castclock/")
        assert request.headers["Accept"] == "application/geo+json"


def test_a_point_is_looked_up_once_in_three_days(
    nws: Nws, stand_in: StandIn, now: datetime
) -> None:
    for hours in (0, 1, 71):
        stand_in.now = now + hours * HOUR
        nws.forecast(*NEWARK, stand_in.now)
    assert asked(stand_in).count("/points/40.693,-74.169") == 1
    stand_in.now = now + 73 * HOUR
    nws.forecast(*NEWARK, stand_in.now)
    assert asked(stand_in).count("/points/40.693,-74.169") == 2


def test_round_coordinates_are_told_without_their_zeros(
    nws: Nws, stand_in: StandIn, now: datetime
) -> None:
    nws.forecast(40.70, -74.0, now)
    assert asked(stand_in)[0] == "/points/40.7,-74", "40.700 would be sent on"


@pytest.mark.parametrize("told", ["40.6925123,-74.168", "40.690,-74.168"])
def test_the_stand_in_sends_long_and_padded_coordinates_on(
    nws: Nws, stand_in: StandIn, now: datetime, told: str
) -> None:
    """Case 10: a relative Location, followed."""
    north, east = told.split(",")
    request = _Request((north, east), now, Frame.covering(now, 1, 1), Caller().patience())
    cell = nws._looked_up(request)
    assert cell.name == "TST/0,0"
    first, second = asked(stand_in)[:2]
    assert first == f"/points/{told}"
    assert len(second) < len(first)


@pytest.mark.parametrize("host", ["https://weather.invalid", "//192.0.2.7", "ftp://h", "http://["])
def test_links_to_strangers_are_refused(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, host: str
) -> None:
    """Case 10: a foreign host in a link; nobody is asked there."""

    def led_astray(document: JsonDict) -> None:
        document["properties"]["forecastGridData"] = f"{host}/gridpoints/TST/0,0"

    stand_in.fail_next("/points", servers.Fault(edit=led_astray))
    assert "another host" in failure(nws, now).reason
    assert len(stand_in.requests) == 1


@pytest.mark.parametrize(
    "link",
    [None, 17, "", "https://api.weather.gov/", "https://api.weather.gov/gridpoints/TST/0,0/../x"],
)
def test_links_that_lead_nowhere_are_refused(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, link: object
) -> None:
    def edit(document: JsonDict) -> None:
        document["properties"]["forecastGridData"] = link

    stand_in.fail_next("/points", servers.Fault(edit=edit))
    assert "a link" in failure(nws, now).reason


@pytest.mark.parametrize("zero", [0, "0"])
def test_the_first_cell_of_a_grid_has_numbers_too(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, zero: object
) -> None:
    """Case 24: x and y as numbers or as text, and zero is one of them."""

    def edit(document: JsonDict) -> None:
        document["properties"] |= {"gridX": zero, "gridY": zero}

    stand_in.fail_next(GRID, servers.Fault(edit=edit))
    assert nws.forecast(*NEWARK, now).hours > 180


def test_weather_of_another_cell_is_refused(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    def elsewhere(document: JsonDict) -> None:
        document["properties"]["gridX"] = 7

    stand_in.fail_next(GRID, servers.Fault(edit=elsewhere))
    assert "'TST/7,0', not TST/0,0" in failure(nws, now).reason


def test_a_station_without_reports_gives_way_to_the_next(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    """Case 9."""
    none = servers.Fault(edit=lambda d: d.update(features=[]))
    stand_in.fail_next("/K0ST/", none)
    air = nws.forecast(*NEWARK, now)
    assert air.start == datetime(2013, 4, 17, 15, tzinfo=UTC)
    assert asked(stand_in)[-2:] == ["/stations/K0ST/observations", "/stations/K2ST/observations"], (
        "LaGuardia is the next nearest"
    )


def test_stations_that_are_all_silent_cost_only_the_past(
    nws: Nws,
    stand_in: StandIn,
    servers: ModuleType,
    now: datetime,
    caplog: pytest.LogCaptureFixture,
) -> None:
    stand_in.fail_next("/observations", *[servers.Fault(status=404)] * 3)
    air = nws.forecast(*NEWARK, now)
    assert air.start == datetime(2013, 4, 20, 7, tzinfo=UTC), "the analysis of the grid"
    assert "K0ST" in caplog.text


def test_a_station_that_fails_gives_way_to_the_next_after_one_quick_retry(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, waits: list[float]
) -> None:
    """At each refresh: a station that is down stays down for days."""
    stand_in.fail_next("/K0ST/", *[servers.Fault(status=500)] * 12)
    for hour in range(3):
        stand_in.now = now + timedelta(hours=hour)
        air = nws.forecast(*NEWARK, stand_in.now)
        assert air.start <= datetime(2013, 4, 17, 17, tzinfo=UTC), "LaGuardia has told the past"
        assert waits == [1.0] * (hour + 1)
    assert sum("/K0ST/" in path for path in asked(stand_in)) == 6


def test_when_every_station_fails_one_is_tried_twice_and_the_others_once(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, waits: list[float]
) -> None:
    stand_in.fail_next("/observations", *[servers.Fault(status=502)] * 12)
    assert nws.forecast(*NEWARK, now).start == datetime(2013, 4, 20, 7, tzinfo=UTC)
    assert sum("/observations" in path for path in asked(stand_in)) == 4
    assert waits == [1.0]


@pytest.mark.parametrize(
    "edit",
    [
        lambda d: [f["properties"]["elevation"].update(value=900) for f in d["features"]],
        lambda d: [
            f["properties"]["temperature"].update(value=None, qualityControl="Z")
            or f["properties"].update(rawMessage="")
            for f in d["features"]
        ],
    ],
    ids=["on a mountain", "without temperatures"],
)
def test_a_station_that_cannot_speak_for_the_place_is_passed_over(
    nws: Nws,
    stand_in: StandIn,
    servers: ModuleType,
    now: datetime,
    edit: Callable[[JsonDict], object],
) -> None:
    def changed(document: JsonDict) -> None:
        edit(document)

    stand_in.fail_next("/observations", *[servers.Fault(edit=changed)] * 3)
    assert nws.forecast(*NEWARK, now).start == datetime(2013, 4, 20, 7, tzinfo=UTC)


def test_a_station_far_away_is_not_asked(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    def far(document: JsonDict) -> None:
        for feature in document["features"]:
            feature["geometry"]["coordinates"] = [-75.0, 40.7]

    stand_in.fail_next("/stations$", servers.Fault(edit=far))
    nws.forecast(*NEWARK, now)
    assert not any("/observations" in path for path in asked(stand_in))


@pytest.mark.parametrize(
    "station", [None, {}, {"properties": None}, {"properties": {"stationIdentifier": "../x"}}]
)
def test_a_list_of_stations_that_makes_no_sense_costs_only_the_past(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, station: object
) -> None:
    stand_in.fail_next("/stations$", servers.Fault(edit=lambda d: d.update(features=[station])))
    assert nws.forecast(*NEWARK, now).hours > 180
    stand_in.now = now + 2 * HOUR
    nws.forecast(*NEWARK, stand_in.now)
    assert asked(stand_in)[-1] == "/stations/K0ST/observations", "asked for again after an hour"


@pytest.mark.parametrize("day", [datetime(2013, 3, 10, 5), datetime(2013, 11, 3, 4)])  # noqa: DTZ001
def test_the_nights_when_the_clocks_change_have_every_hour_once(
    nws: Nws, stand_in: StandIn, servers: ModuleType, record_2013: ModuleType, day: datetime
) -> None:
    """Case 55: the text forecast in local time, through the night that lacks 02:00 and the one
    that has 01:00 twice."""
    stand_in.now = day.replace(tzinfo=UTC)
    stand_in.fail_next(GRID, *[servers.Fault(status=500)] * 4)
    air = nws.forecast(*NEWARK, stand_in.now)
    truth = record_2013.series_2013("EWR", stand_in.now, stand_in.now + 30 * HOUR)
    first = round(air.hour_of(stand_in.now))
    assert air.air_C[first + 1 : first + 30] == pytest.approx(
        truth.air_C[1:30], abs=0.51, nan_ok=True
    )


def test_the_thousand_mile_wind_does_not_get_through(
    nws: Nws, stand_in: StandIn, record_2013: ModuleType
) -> None:
    """Case 71, on the grid and from the station: EWR, 12 February 2013, 08:00 UTC."""
    spike = datetime(2013, 2, 12, 8, tzinfo=UTC)
    assert record_2013.record("EWR")[spike]["wind_m_s"] > 400
    for hours in (-6, 6):
        stand_in.now = spike + hours * HOUR
        air = nws.forecast(*NEWARK, stand_in.now)
        assert not np.nanmax(air.wind_m_s) > 40
        assert np.isfinite(air.air_C[round(air.hour_of(spike))])


@pytest.mark.parametrize("place", [(91.0, 0.0), (0.0, 181.0), (float("nan"), 0.0)])
def test_coordinates_that_are_none_are_refused_before_anybody_is_asked(
    nws: Nws, stand_in: StandIn, now: datetime, place: tuple[float, float]
) -> None:
    with pytest.raises(InputError, match="itude = .*give -"):
        nws.forecast(*place, now)
    assert stand_in.requests == []


@pytest.mark.parametrize("address", ["", "api.weather.gov", "ftp://x", "http://a?b=1"])
def test_a_base_address_that_is_none_is_refused(address: str) -> None:
    with pytest.raises(InputError, match="base_url"):
        Nws(Caller(), address)


def test_the_credit_that_must_stand_beside_it() -> None:
    assert Nws.attribution == "National Weather Service (NOAA)"
