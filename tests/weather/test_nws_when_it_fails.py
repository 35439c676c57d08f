"""When the National Weather Service has no answer, half of one, or an old one."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.errors import WeatherUnavailable
from service.weather import choose
from service.weather.health import Watched
from service.weather.nws import Nws
from tests.stand_in.nws_shape import NwsRoute
from tests.stand_in.open_meteo_server import StandIn
from tests.support.raw import Json, JsonDict

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


def test_a_place_abroad_is_refused_as_often_as_it_is_asked_about(
    nws: Nws, stand_in: StandIn, now: datetime
) -> None:
    """Case 8: whether that counts is decided where services are watched."""
    oslo = (59.91, 10.75)
    error = failure(nws, now, oslo)
    assert "outside its area" in error.reason
    assert error.retry_after_s is None, "no use"
    assert failure(nws, now + HOUR, oslo).reason == error.reason
    assert len(stand_in.requests) == 2
    assert nws.forecast(*NEWARK, now).hours > 180, "another place is not held up"


def test_one_wrong_refusal_costs_one_refresh(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, nws_shape: ModuleType
) -> None:
    """The network in front has said 404 for a point of the middle of the country."""
    body = nws_shape.problem(404, "no such point", "InvalidPoint")[2]
    watched = Watched(nws, "")
    stand_in.fail_next("/points", servers.Fault(status=404, edit=lambda _: body))
    with pytest.raises(WeatherUnavailable, match="outside its area"):
        watched.forecast(*NEWARK, now)
    stand_in.now = now + HOUR
    assert watched.forecast(*NEWARK, stand_in.now).hours > 180


def test_a_place_on_water_is_told_so(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, nws_shape: ModuleType
) -> None:
    def marine(document: JsonDict) -> None:
        document["properties"] |= {"type": "marine", "forecastGridData": None}

    stand_in.fail_next("/points", servers.Fault(edit=marine))
    assert "on water" in failure(nws, now).reason
    assert len(stand_in.requests) == 1

    def no_marine(_: JsonDict) -> Json:
        return nws_shape.problem(404, "x", "MarineForecastNotSupported")[2]

    stand_in.fail_next(GRID, servers.Fault(status=404, edit=no_marine))
    assert "on water" in failure(nws, now, (40.64, -73.78)).reason


@pytest.mark.parametrize(
    ("status", "kind", "later_s"),
    [
        (503, "ForecastGridExpired", 2700.0),
        (503, "UnavailableWebService", 900.0),
        (400, "InvalidParameter", None),
        (404, "NotFound", None),
    ],
)
def test_a_problem_says_when_to_come_back(
    nws: Nws,
    stand_in: StandIn,
    servers: ModuleType,
    now: datetime,
    nws_shape: ModuleType,
    status: int,
    kind: str,
    later_s: float | None,
) -> None:
    """Case 5: no quick retry for an office that has sent nothing."""
    body = nws_shape.problem(status, "issued long ago", kind)[2]
    stand_in.fail_next(GRID, *[servers.Fault(status=status, edit=lambda _: body)] * 4)
    error = failure(nws, now)
    assert error.retry_after_s == later_s
    assert "issued long ago" in error.reason
    assert asked(stand_in).count("/gridpoints/TST/0,0") == 1


@pytest.mark.parametrize("status", [500, 502, 504])
def test_a_gateway_that_stays_down_is_given_up_after_four_attempts(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, status: int
) -> None:
    down = servers.Fault(status=status, change=lambda _: b"<html>Bad Gateway</html>")
    stand_in.fail_next(GRID, *[down] * 9)
    error = failure(nws, now)
    assert str(status) in error.reason
    assert error.retry_after_s == 900.0
    assert asked(stand_in).count("/gridpoints/TST/0,0") == 4


def test_types_of_problems_in_their_older_form_are_known_too(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    body = {"type": "urn:noaa:nws:api:ForecastGridExpired", "detail": "x", "status": 503}
    stand_in.fail_next(GRID, servers.Fault(status=503, edit=lambda _: body))
    assert failure(nws, now).retry_after_s == 2700.0


def test_a_cell_that_is_gone_is_looked_up_anew(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    stand_in.fail_next(GRID, servers.Fault(status=404))
    failure(nws, now)
    stand_in.now = now + HOUR
    nws.forecast(*NEWARK, stand_in.now)
    assert asked(stand_in).count("/points/40.693,-74.169") == 2


def test_whoever_does_not_say_who_he_is_is_refused(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    """Case 7: a page of HTML, and no use to ask again before the settings change."""
    html = servers.Fault(status=403, change=lambda _: b"<html>Access Denied</html>")
    stand_in.fail_next("/points", html)
    error = failure(nws, now)
    assert error.retry_after_s is None
    assert "CASTCLOCK_CONTACT" in error.reason
    assert len(stand_in.requests) == 1


def test_too_many_questions_wait_the_usual_five_seconds(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, waits: list[float]
) -> None:
    """Case 6."""
    stand_in.fail_next("/points", servers.Fault(status=429))
    nws.forecast(*NEWARK, now)
    assert waits == [5.0]


def test_when_the_grid_has_a_problem_the_text_forecast_stands_in(
    nws: Nws, stand_in: StandIn, servers: ModuleType, record_2013: ModuleType, now: datetime
) -> None:
    """Case 3 and the fallback of 1.4: the grid fails four times, the hourly forecast answers."""
    stand_in.fail_next(GRID, *[servers.Fault(status=500)] * 4)
    air = nws.forecast(*NEWARK, now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    ahead = round(air.hour_of(now.replace(minute=0))) + 1
    assert air.end == now.replace(minute=0) + 155 * HOUR
    assert air.air_C[ahead:] == pytest.approx(truth.air_C[ahead:], abs=0.51, nan_ok=True)
    assert np.isnan(air.rain_mm).all(), "there is no rain amount in it, and none is invented"
    assert stand_in.requests[-2].query == {"units": "si"}


def test_hours_that_the_grid_lacks_come_from_the_text_forecast(
    nws: Nws,
    stand_in: StandIn,
    servers: ModuleType,
    record_2013: ModuleType,
    now: datetime,
    caplog: pytest.LogCaptureFixture,
) -> None:
    def holed(document: JsonDict) -> None:
        layer = document["properties"]["temperature"]
        layer["values"] = [v for v in layer["values"] if "2013-04-21" not in v["validTime"]]

    stand_in.fail_next(GRID, servers.Fault(edit=holed))
    air = nws.forecast(*NEWARK, now)
    noon = datetime(2013, 4, 21, 12, tzinfo=UTC)
    truth = record_2013.record("EWR")[noon]["air_C"]
    assert air.air_C[round(air.hour_of(noon))] == pytest.approx(truth, abs=0.51)
    assert np.isfinite(air.rain_mm[round(air.hour_of(noon))]), "rain is still the grid's"
    assert "hourly text forecast" in caplog.text


def test_when_both_lack_them_they_are_missing(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    def holed(document: JsonDict) -> None:
        document["properties"]["dewpoint"] = {"values": []}
        document["properties"]["relativeHumidity"] = {"values": []}

    stand_in.fail_next(GRID, servers.Fault(edit=holed))
    stand_in.fail_next(HOURLY, *[servers.Fault(status=503)] * 4)
    air = nws.forecast(*NEWARK, now)
    ahead = round(air.hour_of(now.replace(minute=0))) + 1
    assert np.isfinite(air.air_C[ahead : ahead + 24]).all()
    assert np.isnan(air.dew_point_C[ahead:]).all()


def test_a_grid_without_dew_points_has_its_humidity(
    nws: Nws, stand_in: StandIn, servers: ModuleType, record_2013: ModuleType, now: datetime
) -> None:
    def dry(document: JsonDict) -> None:
        document["properties"]["dewpoint"] = {"values": []}

    stand_in.fail_next(GRID, servers.Fault(edit=dry))
    air = nws.forecast(*NEWARK, now)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    assert np.nanmedian(np.abs(air.dew_point_C - truth.dew_point_C)) < 0.3
    assert not any("hourly" in path for path in asked(stand_in))


def test_nothing_at_all_is_no_weather(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    """Case 73: every layer null."""

    def emptied(document: JsonDict) -> None:
        for layer in document["properties"].values():
            if isinstance(layer, dict) and layer.get("values"):
                layer["values"] = [v | {"value": None} for v in layer["values"]]

    stand_in.fail_next(GRID, servers.Fault(edit=emptied))
    stand_in.fail_next(HOURLY, servers.Fault(edit=lambda d: d["properties"].update(periods=[])))
    stand_in.fail_next("/observations", *[servers.Fault(status=404)] * 3)
    assert "no air temperature" in failure(nws, now).reason


def test_what_was_measured_alone_is_no_forecast(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    def short(document: JsonDict) -> None:
        for layer in document["properties"].values():
            if isinstance(layer, dict) and layer.get("values"):
                layer["values"] = layer["values"][:2]

    stand_in.fail_next(GRID, servers.Fault(edit=short))
    stand_in.fail_next(HOURLY, *[servers.Fault(status=500)] * 4)
    assert "hours ahead" in failure(nws, now).reason


def test_yesterdays_copy_says_its_age(nws: Nws, nws_answers: NwsRoute, now: datetime) -> None:
    """Case 22: status 200 with an updateTime of 30 hours ago."""
    nws_answers.updated_before = 30 * HOUR
    air = nws.forecast(*NEWARK, now)
    assert air.issued_at == now - 30 * HOUR
    assert choose.grade(air.issued_at, now) == "stale"


@pytest.mark.parametrize("hours", [72, 24 * 30, -1])
def test_a_copy_of_another_week_or_of_the_future_is_refused(
    nws: Nws, nws_answers: NwsRoute, now: datetime, hours: float
) -> None:
    """Case 23 too: a clock that was set back makes a forecast of the future."""
    nws_answers.updated_before = hours * HOUR
    error = failure(nws, now)
    assert "of no use" in error.reason
    assert error.retry_after_s == 3600.0


def test_a_clock_that_was_set_back_does_not_keep_an_old_answer(
    nws: Nws, stand_in: StandIn, now: datetime
) -> None:
    """Case 23: what was learned of a place in a future that was none is looked up anew."""
    nws.forecast(*NEWARK, now)
    nws._cells = {
        point: replace(cell, valid_until=cell.valid_until + 24 * 365 * HOUR)
        for point, cell in nws._cells.items()
    }
    stand_in.now = now + HOUR
    nws.forecast(*NEWARK, stand_in.now)
    assert asked(stand_in).count("/points/40.693,-74.169") == 2


@pytest.mark.parametrize("stamp", [None, "", "this morning", "2013-04-20T14:00:00", 1366470000])
def test_a_forecast_that_does_not_say_when_it_was_made_is_refused(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, stamp: object
) -> None:
    fault = servers.Fault(edit=lambda d: d["properties"].update(updateTime=stamp))
    stand_in.fail_next(GRID, fault)
    assert "does not say when" in failure(nws, now).reason


@pytest.mark.parametrize(
    "document", [[], 7, "x", {}, {"properties": None}, {"properties": []}, {"type": "Feature"}]
)
@pytest.mark.parametrize("where", ["/points", GRID])
def test_what_is_no_weather_is_refused(
    nws: Nws, stand_in: StandIn, servers: ModuleType, now: datetime, where: str, document: object
) -> None:
    change = servers.Fault(change=lambda _: json.dumps(document).encode())
    stand_in.fail_next(where, change)
    assert "the answer" in failure(nws, now).reason


@pytest.mark.parametrize(
    "fault",
    [
        {"cut_to": 300},
        {"change": lambda _: b"<html>busy</html>", "headers": {"Content-Type": "text/html"}},
        {"change": lambda b: b[: len(b) // 2]},
        {"headers": {"Content-Encoding": "gzip"}, "change": lambda b: b"\x1f\x8b" + b[:50]},
        {"status": 500},
        {"hang_up": True},
    ],
    ids=["cut short", "HTML", "half", "broken gzip", "500", "hung up"],
)
@pytest.mark.parametrize(
    ("where", "paused"),
    [("/points", [1, 3]), (GRID, [1, 3]), ("/stations$", [1, 3]), ("/observations", [1])],
)
def test_a_garbled_answer_anywhere_on_the_way_is_asked_for_again(
    nws: Nws,
    stand_in: StandIn,
    servers: ModuleType,
    now: datetime,
    waits: list[float],
    where: str,
    paused: list[float],
    fault: JsonDict,
) -> None:
    """Cases 3, 11, 12; of stations the next one answers after one quick retry."""
    stand_in.fail_next(where, servers.Fault(**fault), servers.Fault(**fault))
    air = nws.forecast(*NEWARK, now)
    assert air.start == datetime(2013, 4, 17, 15, tzinfo=UTC)
    assert waits == paused
