"""The stand-in answers as the services' documents say, so that what we test against is not us."""

from datetime import datetime, timedelta
from email.utils import format_datetime
from types import ModuleType

import httpx
import pytest

from tests.stand_in.met_norway_shape import MetNorwayRoute
from tests.stand_in.nws_shape import NwsRoute
from tests.stand_in.open_meteo_server import StandIn

WHO = {"User-Agent": "castclock tests (yard@castclock.example)"}


def ask(
    server: StandIn, path: str, headers: dict[str, str] | None = None, **query: str
) -> httpx.Response:
    url = server.base_url + path
    return httpx.get(url, params=query, headers=WHO | (headers or {}), follow_redirects=False)


# --- National Weather Service ---------------------------------------------------------------------


def test_a_point_leads_to_a_cell_and_its_links_are_the_services_own(
    stand_in: StandIn, nws_answers: NwsRoute
) -> None:
    answer = ask(stand_in, "/points/40.69,-74.17")
    properties = answer.json()["properties"]
    assert answer.headers["Content-Type"] == "application/geo+json"
    assert properties["forecastGridData"] == "https://api.weather.gov/gridpoints/TST/0,0"
    assert properties["gridX"] == 0
    assert properties["timeZone"] == nws_answers.zone


@pytest.mark.parametrize(
    ("point", "kind", "to"),
    [
        ("40.692511,-74.16872", "AdjustPointPrecision", "/points/40.6925,-74.1687"),
        ("40.6900,-74.17", "AdjustTrailingZeroRedundancy", "/points/40.69,-74.17"),
    ],
)
def test_long_and_padded_points_are_sent_on(
    stand_in: StandIn, nws_answers: NwsRoute, point: str, kind: str, to: str
) -> None:
    assert nws_answers in stand_in.routes
    answer = ask(stand_in, f"/points/{point}")
    assert answer.status_code == 301
    assert answer.headers["Location"] == to, "without a host"
    assert answer.json()["type"].endswith(kind)


@pytest.mark.parametrize(
    ("path", "query", "status", "kind"),
    [
        ("/points/59.91,10.75", {}, 404, "InvalidPoint"),
        ("/points/40.69,-74.17", {"t": "1"}, 400, "BadRequest"),
        ("/gridpoints/TST/0,0", {"cache": "no"}, 400, "BadRequest"),
    ],
)
def test_problems_are_documents_of_rfc_7807(
    stand_in: StandIn,
    nws_answers: NwsRoute,
    path: str,
    query: dict[str, str],
    status: int,
    kind: str,
) -> None:
    assert nws_answers in stand_in.routes
    answer = ask(stand_in, path, None, **query)
    assert answer.status_code == status
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert answer.json()["type"] == f"https://api.weather.gov/problems/{kind}"
    assert set(answer.json()) == {"type", "title", "status", "detail", "instance", "correlationId"}


def test_nobody_is_answered_without_a_name(stand_in: StandIn, nws_answers: NwsRoute) -> None:
    assert nws_answers in stand_in.routes
    answer = ask(stand_in, "/gridpoints/TST/0,0", {"User-Agent": ""})
    assert answer.status_code == 403
    assert answer.text.startswith("<html>")


def test_not_modified_is_said_to_an_http_date_only(
    stand_in: StandIn, nws_answers: NwsRoute, now: datetime
) -> None:
    first = ask(stand_in, "/gridpoints/TST/0,0")
    stamp = first.headers["Last-Modified"]
    assert stamp == format_datetime(now - nws_answers.updated_before, usegmt=True)
    assert first.headers["Date"] == format_datetime(now, usegmt=True)
    assert "max-age=282" in first.headers["Cache-Control"]
    again = ask(stand_in, "/gridpoints/TST/0,0", {"If-Modified-Since": stamp})
    assert (again.status_code, again.content) == (304, b"")
    iso = ask(stand_in, "/gridpoints/TST/0,0", {"If-Modified-Since": now.isoformat()})
    assert iso.status_code == 200, "passed over in silence"


def test_rain_is_told_for_six_hours_and_equal_hours_are_merged(
    stand_in: StandIn, nws_answers: NwsRoute
) -> None:
    nws_answers.qpf_hours = 109
    properties = ask(stand_in, "/gridpoints/TST/0,0").json()["properties"]
    rain = [
        one["validTime"].partition("/")[2]
        for one in properties["quantitativePrecipitation"]["values"]
    ]
    assert set(rain[1:-1]) == {"PT6H"}
    lengths = {one["validTime"].partition("/")[2] for one in properties["temperature"]["values"]}
    assert {"PT1H", "PT2H"} <= lengths
    assert properties["pressure"] == {"values": []}, "no unit without values"
    assert properties["windSpeed"]["uom"] == "wmoUnit:km_h-1"


def test_two_hours_of_the_november_night_have_one_name(
    stand_in: StandIn, nws_answers: NwsRoute
) -> None:
    assert nws_answers in stand_in.routes
    stand_in.now = datetime.fromisoformat("2013-11-03T04:30:00+00:00")
    told = ask(stand_in, "/gridpoints/TST/0,0/forecast/hourly", units="us").json()
    starts = [one["startTime"] for one in told["properties"]["periods"]]
    assert "2013-11-03T01:00:00-04:00" in starts
    assert "2013-11-03T01:00:00-05:00" in starts


def test_a_station_without_a_report_has_no_latest(stand_in: StandIn, nws_answers: NwsRoute) -> None:
    assert nws_answers in stand_in.routes
    assert ask(stand_in, "/stations/K0ST/observations/latest").status_code == 200
    stand_in.now = datetime.fromisoformat("2012-01-01T00:00:00+00:00")
    assert ask(stand_in, "/stations/K0ST/observations/latest").status_code == 404
    assert ask(stand_in, "/stations/K0ST/observations").json()["features"] == []


# --- MET Norway -----------------------------------------------------------------------------------

PATH = "/weatherapi/locationforecast/2.0"


@pytest.mark.parametrize(
    ("headers", "query", "status"),
    [
        ({"User-Agent": ""}, {"lat": "40.69", "lon": "-74.17"}, 403),
        ({"User-Agent": "python-httpx/0.28"}, {"lat": "40.69", "lon": "-74.17"}, 403),
        ({}, {"lat": "40.69251", "lon": "-74.17"}, 403),
        ({}, {"lat": "40.69"}, 400),
    ],
)
def test_bad_manners_are_refused_in_html(
    stand_in: StandIn,
    met_answers: MetNorwayRoute,
    headers: dict[str, str],
    query: dict[str, str],
    status: int,
) -> None:
    assert met_answers in stand_in.routes
    answer = ask(stand_in, f"{PATH}/complete", headers, **query)
    assert answer.status_code == status
    assert answer.headers["Content-Type"] == "text/html"


def test_not_modified_is_said_to_the_exact_stamp_only(
    stand_in: StandIn, met_answers: MetNorwayRoute, now: datetime
) -> None:
    assert met_answers in stand_in.routes
    place = {"lat": "40.69", "lon": "-74.17"}
    first = ask(stand_in, f"{PATH}/complete", None, **place)
    assert first.headers["Expires"] == format_datetime(now + timedelta(minutes=30), usegmt=True)
    stamp = first.headers["Last-Modified"]
    again = ask(stand_in, f"{PATH}/complete", {"If-Modified-Since": stamp}, **place)
    assert (again.status_code, again.content) == (304, b"")
    invented = format_datetime(now, usegmt=True)
    other = ask(stand_in, f"{PATH}/complete", {"If-Modified-Since": invented}, **place)
    assert other.status_code == 200


def test_steps_are_hourly_then_six_hourly_and_the_compact_form_has_less(
    stand_in: StandIn, met_answers: MetNorwayRoute
) -> None:
    assert met_answers in stand_in.routes
    place = {"lat": "40.69", "lon": "-74.17"}
    steps = ask(stand_in, f"{PATH}/complete", None, **place).json()["properties"]["timeseries"]
    assert {one["time"][11:] for one in steps[60:]} == {
        "00:00:00Z",
        "06:00:00Z",
        "12:00:00Z",
        "18:00:00Z",
    }
    assert set(steps[-1]["data"]) == {"instant"}
    assert "next_1_hours" not in steps[-2]["data"]
    assert "air_temperature_percentile_10" in steps[0]["data"]["instant"]["details"]
    compact = ask(stand_in, f"{PATH}/compact", None, **place).json()["properties"]["timeseries"]
    assert "dew_point_temperature" not in compact[0]["data"]["instant"]["details"]


# --- faults ---------------------------------------------------------------------------------------


def test_a_fault_waits_for_the_path_it_was_ordered_for(
    stand_in: StandIn, servers: ModuleType, nws_answers: NwsRoute
) -> None:
    assert nws_answers in stand_in.routes
    stand_in.fail_next("/stations$", servers.Fault(status=503))
    assert ask(stand_in, "/points/40.69,-74.17").status_code == 200
    assert ask(stand_in, "/gridpoints/TST/0,0/stations").status_code == 503
    assert ask(stand_in, "/gridpoints/TST/0,0/stations").status_code == 200


def test_paths_of_nobody_are_not_found(stand_in: StandIn) -> None:
    assert ask(stand_in, "/points/40.69,-74.17").status_code == 404
