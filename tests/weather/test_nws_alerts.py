"""Official alerts: which are in force, what they are about, and none lost for an odd time."""

from datetime import UTC, datetime, timedelta
from types import ModuleType

import pytest

from models.errors import InputError, WeatherUnavailable
from service.weather import nws_alerts
from service.weather.nws import Nws
from service.weather.provider import WeatherAlert
from tests.stand_in.nws_shape import NwsRoute
from tests.stand_in.open_meteo_server import StandIn
from tests.support.raw import JsonDict

NOW = datetime(2013, 4, 20, 15, 30, tzinfo=UTC)
NEWARK = (40.69251, -74.16872)


def alert(key: str = "a.1", **changed: object) -> JsonDict:
    return {
        "id": key,
        "areaDesc": "Invented County",
        "affectedZones": [],
        "references": [],
        "sent": "2013-04-20T14:00:00-04:00",
        "effective": "2013-04-20T14:00:00-04:00",
        "onset": "2013-04-21T02:00:00-04:00",
        "expires": "2013-04-20T22:00:00-04:00",
        "ends": "2013-04-21T09:00:00-04:00",
        "status": "Actual",
        "messageType": "Alert",
        "category": "Met",
        "severity": "Moderate",
        "certainty": "Likely",
        "urgency": "Expected",
        "event": "Freeze Warning",
        "headline": "Freeze Warning until morning",
        "description": "invented",
        "instruction": "Cover what can freeze.",
        "parameters": {},
    } | changed


def read(*alerts: JsonDict) -> tuple[WeatherAlert, ...]:
    return nws_alerts.read({"features": [{"properties": one} for one in alerts]}, NOW)


def test_an_alert_in_force_is_told_with_its_times() -> None:
    (one,) = read(alert())
    assert one.event == "Freeze Warning"
    assert one.about == "frost"
    assert one.severity == "Moderate"
    assert one.begins == datetime(2013, 4, 21, 6, tzinfo=UTC)
    assert one.ends == datetime(2013, 4, 21, 13, tzinfo=UTC)
    assert one.advice == "Cover what can freeze."


def test_without_an_end_the_alert_ends_when_it_expires() -> None:
    """Case 36."""
    (one,) = read(alert(ends=None))
    assert one.ends == datetime(2013, 4, 21, 2, tzinfo=UTC)


def test_an_update_takes_the_place_of_what_it_refers_to() -> None:
    """Case 36."""
    update = alert(
        "a.2", messageType="Update", references=[{"identifier": "a.1"}], event="Hard Freeze Warning"
    )
    assert [one.key for one in read(alert(), update)] == ["a.2"]
    by_link = alert("a.2", references=[{"@id": "https://api.weather.gov/alerts/a.1"}])
    assert [one.key for one in read(by_link, alert())] == ["a.2"]


def test_a_cancelled_alert_is_gone() -> None:
    cancel = alert("a.2", messageType="Cancel", references=[{"identifier": "a.1"}])
    assert read(alert(), cancel) == ()


@pytest.mark.parametrize("status", ["Test", "Exercise", "Draft", "System", None])
def test_an_exercise_is_no_alert(status: object) -> None:
    assert read(alert(status=status)) == ()


def test_an_exercise_does_not_call_off_a_real_alert() -> None:
    drill = alert(
        "a.2", status="Exercise", messageType="Cancel", references=[{"identifier": "a.1"}]
    )
    assert [one.key for one in read(alert(), drill)] == ["a.1"]


def test_what_is_over_is_gone() -> None:
    assert read(alert(ends="2013-04-20T15:30:00+00:00")) == ()


@pytest.mark.parametrize("odd", [None, "", "tomorrow", 17, "2013-04-21T09:00:00"])
def test_an_alert_with_odd_times_is_not_lost(odd: object) -> None:
    (one,) = read(alert(ends=odd, expires=odd, onset=odd, effective=odd, sent=odd))
    assert one.begins is None
    assert one.ends is None


@pytest.mark.parametrize(
    ("event", "about"),
    [
        ("Frost Advisory", "frost"),
        ("Freeze Watch", "frost"),
        ("Hard Freeze Warning", "frost"),
        ("Extreme Cold Warning", "frost"),
        ("Freezing Rain Advisory", "frost"),
        ("High Wind Warning", "wind"),
        ("Wind Advisory", "wind"),
        ("Tornado Watch", "wind"),
        ("Heat Advisory", "heat"),
        ("Excessive Heat Warning", "heat"),
        ("Flood Watch", "rain"),
        ("Severe Thunderstorm Warning", "rain"),
        ("Winter Weather Advisory", "snow"),
        ("Ice Storm Warning", "snow"),
        ("Red Flag Warning", "fire"),
        ("Air Quality Alert", "other"),
    ],
)
def test_what_an_alert_is_about(event: str, about: str) -> None:
    assert read(alert(event=event))[0].about == about


def test_words_of_an_alert_are_made_harmless() -> None:
    (one,) = read(alert(headline="a\r\nb\x1b[31m" + "z" * 5000, instruction=None))
    assert one.headline.isprintable()
    assert len(one.headline) <= 500
    assert one.advice == ""


def test_the_soonest_stands_first() -> None:
    later = alert("a.0", onset="2013-04-22T02:00:00-04:00", ends="2013-04-22T09:00:00-04:00")
    assert [one.key for one in read(later, alert())] == ["a.1", "a.0"]


@pytest.mark.parametrize("features", [None, [], [None], [{}], [{"properties": 7}]])
def test_a_list_without_alerts_is_none(features: object) -> None:
    assert nws_alerts.read({"features": features}, NOW) == ()


def test_alerts_are_asked_for_the_point(nws: Nws, nws_answers: NwsRoute, stand_in: StandIn) -> None:
    nws_answers.alerts = [alert()]
    assert [one.about for one in nws.alerts(*NEWARK, NOW)] == ["frost"]
    (asked,) = stand_in.requests
    assert asked.path == "/alerts/active"
    assert asked.query == {"point": "40.693,-74.169"}


def test_no_answer_is_not_no_alert(nws: Nws, stand_in: StandIn, servers: ModuleType) -> None:
    stand_in.fail_next("/alerts", servers.Fault(edit=lambda _: {"title": "no list"}))
    with pytest.raises(WeatherUnavailable, match="no list of alerts"):
        nws.alerts(*NEWARK, NOW)
    stand_in.fail_next("/alerts", *[servers.Fault(status=500)] * 4)
    stand_in.now = NOW + timedelta(hours=1)
    with pytest.raises(WeatherUnavailable, match="500"):
        nws.alerts(*NEWARK, stand_in.now)


def test_a_place_that_is_none_is_refused(nws: Nws, stand_in: StandIn) -> None:
    with pytest.raises(InputError, match="latitude"):
        nws.alerts(91.0, 0.0, NOW)
    assert stand_in.requests == []
