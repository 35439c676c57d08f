"""Whatever stands in an answer: it is read, or refused in words; nothing else comes out."""

import copy
import json
from collections.abc import Callable
from datetime import UTC, datetime
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from models.air.series import AirSeries
from models.errors import WeatherUnavailable
from service.weather import answer, met_norway, nws_alerts, nws_grid, nws_hourly, nws_observations
from service.weather.answer import Frame
from tests.stand_in.open_meteo_server import Answer
from tests.support.raw import Json, JsonDict
from tests.support.thorough import some

NOW = datetime(2013, 4, 20, 15, 30, tzinfo=UTC)
JUNK: st.SearchStrategy[object] = st.sampled_from(
    [
        None,
        True,
        False,
        0,
        -1,
        10**400,
        1e308,
        float("nan"),
        float("inf"),
        "",
        "x",
        "12",
        "2013-04-20T15:00:00Z",
        "2013-04-20T15:00:00",
        "0001-01-01T00:00:00-12:00",
        "9999-12-31T23:00:00+00:00/P7D",
        "2013-04-20T15:00:00Z/PT1H",
        [],
        {},
        [[]],
        [None],
        {"": 0},
        {"value": 1},
        {"values": [1]},
        "wmoUnit:degC",
        "\ud800",
        "celsius",
    ]
)


def spoiled(document: Json, data: st.DataObject) -> Json:
    """The document with a few of its parts gone or replaced, near the top or deep inside."""
    document = copy.deepcopy(document)
    for _ in range(data.draw(st.integers(1, 4))):
        node = document
        while node:
            keys = list(node) if isinstance(node, dict) else range(len(node))
            key = data.draw(st.sampled_from(keys))
            inside = isinstance(node[key], (dict, list)) and node[key]
            if inside and data.draw(st.integers(0, 3)):
                node = node[key]
                continue
            if isinstance(node, dict) and data.draw(st.booleans()):
                del node[key]
            else:
                node[key] = copy.deepcopy(data.draw(JUNK))
            break
    return document


def sane(air: AirSeries) -> None:
    """What AirSeries itself would refuse has been refused; the rest is in order."""
    assert air.hours > 24
    both = np.isfinite(air.air_C) & np.isfinite(air.dew_point_C)
    assert (air.dew_point_C[both] <= air.air_C[both]).all()


@pytest.fixture(scope="module")
def documents(request: pytest.FixtureRequest) -> JsonDict:
    """Whole answers of the stand-in's routes, as objects."""
    record_2013 = request.getfixturevalue("record_2013")
    nws = request.getfixturevalue("nws_shape").NwsRoute()
    met = request.getfixturevalue("met_norway_shape").MetNorwayRoute()
    server = SimpleNamespace(records=record_2013.records(40.0), now=NOW, errors=lambda _: {})

    def asked(route: Callable[..., Answer], path: str, **query: str) -> Json:
        headers = {"User-Agent": "castclock (a@b.example)"}
        request = SimpleNamespace(path=path, query=query, headers=headers)
        return json.loads(json.dumps(route(server, request, 200)[2]))

    place = {"lat": "40.69", "lon": "-74.17"}
    return {
        "grid": asked(nws, "/gridpoints/TST/0,0"),
        "hourly": asked(nws, "/gridpoints/TST/0,0/forecast/hourly"),
        "reports": asked(nws, "/stations/K0ST/observations", start="2013-04-20T00:00:00+00:00"),
        "met": asked(met, "/weatherapi/locationforecast/2.0/complete", **place),
    }


FEW = settings(
    max_examples=some(30, 800),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


@FEW
@given(data=st.data())
def test_a_spoiled_grid(documents: JsonDict, data: st.DataObject) -> None:
    properties = spoiled(documents["grid"]["properties"], data)
    frame = Frame.covering(NOW, 72, 240)
    try:
        issued_at = answer.issued("a service", properties.get("updateTime"), NOW)
        told = nws_grid.columns(properties, frame, NOW, [])
        sane(answer.air_series("a service", frame, told, issued_at, NOW, []))
    except WeatherUnavailable:
        return


@FEW
@given(data=st.data())
def test_a_spoiled_text_forecast(documents: JsonDict, data: st.DataObject) -> None:
    properties = spoiled(documents["hourly"]["properties"], data)
    frame = Frame.covering(NOW, 72, 240)
    told = nws_hourly.columns(properties, frame, [])
    try:
        sane(answer.air_series("a service", frame, told, NOW, NOW, []))
    except WeatherUnavailable:
        return


@FEW
@given(data=st.data())
def test_spoiled_reports(documents: JsonDict, data: st.DataObject) -> None:
    frame = Frame.covering(NOW, 72, 240)
    reports = nws_observations.read(spoiled(documents["reports"], data), frame, NOW)
    seen = nws_observations.hourly(reports, frame, NOW)
    for name, (low, high) in answer.LIMITS.items():
        column = seen.get(name, frame.empty())
        known = column[np.isfinite(column)]
        assert ((known >= low) & (known <= high)).all(), name


@FEW
@given(data=st.data())
def test_a_spoiled_forecast_of_met_norway(documents: JsonDict, data: st.DataObject) -> None:
    raw = json.dumps(spoiled(documents["met"], data)).encode()
    try:
        air, _ = met_norway.read(raw, NOW)
    except WeatherUnavailable:
        return
    sane(air)


@FEW
@given(data=st.data())
def test_spoiled_alerts(data: st.DataObject) -> None:
    row = {
        "id": "a.1",
        "status": "Actual",
        "messageType": "Alert",
        "event": "Frost Advisory",
        "references": [{"identifier": "a.0"}],
        "onset": "2013-04-20T22:00:00-04:00",
        "ends": None,
        "expires": "2013-04-21T09:00:00-04:00",
        "headline": "Frost",
    }
    told = nws_alerts.read(spoiled({"features": [{"properties": row}]}, data), NOW)
    assert len(told) <= 1
