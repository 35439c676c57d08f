"""Recorded answers of the National Weather Service, read by the real provider.

Source: files of weather-gov/weather.gov, named one by one in data/recorded/sources.json.
"""

import json
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from service.weather import nws_alerts, nws_grid, nws_hourly
from service.weather.answer import Frame
from service.weather.http import Caller
from service.weather.nws import Nws
from tests.stand_in.open_meteo_server import Answer, Request, StandIn
from tests.support.raw import JsonDict

NOW = datetime(2025, 8, 5, 18, 8, 47, tzinfo=UTC)
DAY = "air-quality-alerts"
ALBANY, OMAHA, FAIRBANKS = f"{DAY}-ALY-71_67", "testing-OAX-59_58", "testing-AFG-368_294"
PLACES = (ALBANY, OMAHA, FAIRBANKS)
ALERTS = f"nws/{DAY}-alerts-active__status_actual"


@pytest.fixture(scope="session")
def recorded(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/recorded.py")


class Replayed:
    """A route that answers as recorded for Albany."""

    def __init__(self, recorded: ModuleType) -> None:
        self.recorded = recorded
        self.faults: dict[str, int] = {}

    def __call__(self, server: StandIn, request: Request, status: int) -> Answer | None:
        del status
        for where, code in self.faults.items():
            if re.search(where, request.path):
                kind = "https://api.weather.gov/problems/UnexpectedProblem"
                return code, {}, {"type": kind, "status": code, "title": "as ordered"}
        names = {
            r"/points/.*": f"{DAY}-points-42.745_-73.752",
            r"/gridpoints/ALY/71,67": f"{ALBANY}-grid",
            r"/gridpoints/ALY/71,67/forecast/hourly": f"{ALBANY}-hourly",
            r"/gridpoints/ALY/71,67/stations": f"{ALBANY}-stations",
            r"/stations/KALB/observations": f"{DAY}-stations-KALB_observations__limit_1",
        }
        for pattern, name in names.items():
            if re.fullmatch(pattern, request.path):
                return 200, {}, self.recorded.answer(f"nws/{name}", server.now)
        return None


@pytest.fixture
def albany(stand_in: StandIn, recorded: ModuleType) -> Replayed:
    stand_in.now = NOW
    route = Replayed(recorded)
    stand_in.routes.insert(0, route)
    return route


@pytest.fixture
def provider(stand_in: StandIn, patient: Caller) -> Nws:
    return Nws(patient, stand_in.base_url)


@pytest.mark.parametrize("place", PLACES)
def test_the_words_for_the_sky_are_those_of_the_grid_beside_them(
    recorded: ModuleType, place: str
) -> None:
    """Sky cover of the grid and words of the text forecast, for the same hours of one office."""
    frame = Frame.covering(NOW, 12, 180)
    properties = recorded.answer(f"nws/{place}-hourly", NOW)["properties"]
    for k, period in enumerate(properties["periods"]):  # some are recorded with no length
        begin = NOW.replace(minute=0, second=0) + timedelta(hours=k)
        period |= {
            "startTime": begin.isoformat(),
            "endTime": (begin + timedelta(hours=1)).isoformat(),
        }
    words = nws_hourly.columns(properties, frame, [])
    there = recorded.answer(f"nws/{place}-grid", NOW)["properties"]
    grid = nws_grid.columns(there, frame, NOW, [])["cloud_fraction"]
    both = np.isfinite(words["cloud_fraction"]) & np.isfinite(grid)
    assert both.sum() > 100
    apart = words["cloud_fraction"][both] - grid[both]
    assert np.abs(apart).max() < 0.32
    assert abs(apart.mean()) < 0.06


def test_the_sky_of_the_text_forecast_is_read_where_the_grid_fails(
    provider: Nws, albany: Replayed
) -> None:
    albany.faults["/gridpoints/ALY/71,67$"] = 500
    air = provider.forecast(42.745, -73.752, NOW)
    ahead = round(air.hour_of(NOW.replace(minute=0, second=0))) + 1
    assert np.isfinite(air.cloud_fraction[ahead:]).mean() > 0.7, "but for the hours of smoke"
    assert 0.1 < np.nanmean(air.cloud_fraction[ahead:]) < 0.9


def test_words_that_tell_no_sky_leave_it_unknown() -> None:
    for words in ("Areas Of Smoke", "Patchy Fog", "", None, 7, "Hot"):
        assert np.isnan(nws_hourly._sky(words)), words
    assert nws_hourly._sky("Mostly Cloudy") > nws_hourly._sky("Partly Cloudy")
    assert nws_hourly._sky("Slight Chance Rain Showers") > 0.5


def test_an_alert_called_off_by_an_alert_without_references_is_not_in_force(
    recorded: ModuleType,
) -> None:
    """Two of the 396 alerts of that day only call off: "Alert", no references, VTEC action CAN."""
    document = recorded.answer(ALERTS, NOW)
    rows = [one["properties"] for one in document["features"]]
    called_off = {row["id"] for row in rows if any(".CAN." in one for one in vtec(row))}
    assert len(called_off) == 2
    assert all(row["references"] == [] for row in rows if row["id"] in called_off)
    told = nws_alerts.read(document, NOW)
    assert called_off.isdisjoint(one.key for one in told)
    assert len(told) > 250, "no other is lost"
    assert {"O.CON.KFGF.HT.Y.0004", "O.EXT.KMPX.XH.W.0002"} <= {
        one[1:21] for row in rows if row["id"] in {one.key for one in told} for one in vtec(row)
    }, "the same event goes on in the zones beside"


def vtec(row: JsonDict) -> list[str]:
    return row["parameters"].get("VTEC") or []


@pytest.mark.parametrize("action", ["CAN", "UPG", "EXP"])
def test_the_earlier_alert_of_an_event_that_is_called_off_goes_with_it(
    recorded: ModuleType, action: str
) -> None:
    document = recorded.answer(ALERTS, NOW)
    first = next(
        one
        for one in document["features"]
        if one["properties"]["event"] == "Heat Advisory"
        and len(vtec(one["properties"])) == 1
        and ".NEW." in vtec(one["properties"])[0]
    )
    off = json.loads(json.dumps(first))
    line = vtec(first["properties"])[0].replace(".NEW.", f".{action}.")
    off["properties"] |= {
        "id": "off.1",
        "sent": NOW.isoformat(),
        "references": [],
        "parameters": {"VTEC": [line]},
    }
    key = first["properties"]["id"]
    assert [one.key for one in nws_alerts.read({"features": [first]}, NOW)] == [key]
    assert nws_alerts.read({"features": [first, off]}, NOW) == ()
    elsewhere = json.loads(json.dumps(off))
    elsewhere["properties"]["geocode"] = {"UGC": ["XXZ999"]}
    assert len(nws_alerts.read({"features": [first, elsewhere]}, NOW)) == 1
    before = json.loads(json.dumps(off))
    before["properties"]["sent"] = "2020-01-01T00:00:00Z"
    assert len(nws_alerts.read({"features": [first, before]}, NOW)) == 1, "warned of anew since"
    more = json.loads(json.dumps(first))
    more["properties"]["parameters"]["VTEC"].append("/O.NEW.KTST.FZ.W.0001.000000T0000Z-x/")
    assert len(nws_alerts.read({"features": [more, off]}, NOW)) == 1, "it warns of frost too"


def test_no_advice_is_cut_short(recorded: ModuleType) -> None:
    document = recorded.answer(ALERTS, NOW)
    whole = {
        row["id"]: " ".join(re.sub(r"[^\x20-\x7e]+", " ", row["instruction"] or "").split())
        for row in (one["properties"] for one in document["features"])
    }
    told = nws_alerts.read(document, NOW)
    assert max(len(one.advice) for one in told) > 1000
    assert all(one.advice == whole[one.key] for one in told)


def test_what_a_strange_answer_makes_too_long_is_cut_with_a_mark() -> None:
    row = {"status": "Actual", "event": "Freeze Warning", "instruction": "z" * 50_000}
    (one,) = nws_alerts.read({"features": [{"properties": row}]}, NOW)
    assert one.advice.endswith("(cut here; the whole stands with the service)")
    assert len(one.advice) == 10_000
