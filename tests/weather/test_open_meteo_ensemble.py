"""Open-Meteo's members beside a forecast: found by name, kept by the hour, never in its way."""

import json
import logging
import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.air import members
from models.errors import InputError, WeatherUnavailable
from service.weather import open_meteo_ensemble as ensembles
from service.weather.health import Watch
from service.weather.http import Caller
from service.weather.open_meteo import OpenMeteo, opened
from service.weather.open_meteo_ensemble import WithEnsemble
from tests.stand_in.open_meteo_ensemble_server import EnsembleStandIn
from tests.stand_in.open_meteo_server import StandIn
from tests.support.raw import JsonDict

FETCHED = datetime(2026, 5, 4, 12, tzinfo=UTC)
NEWARK = (40.692, -74.169)
HOUR = timedelta(hours=1)
# an invented answer: a control run, two members, one of them a null short
SHORT_ANSWER: JsonDict = {
    "latitude": 39.5,
    "longitude": -98.5,
    "generationtime_ms": 1.4,
    "utc_offset_seconds": 0,
    "timezone": "GMT",
    "timezone_abbreviation": "GMT",
    "elevation": 521.0,
    "hourly_units": {
        "time": "iso8601",
        "temperature_2m": "°C",
        "temperature_2m_member01": "°C",
        "temperature_2m_member02": "°C",
    },
    "hourly": {
        "time": ["2026-05-04T00:00", "2026-05-04T01:00"],
        "temperature_2m": [12.6, 12.1],
        "temperature_2m_member01": [12.9, 12.2],
        "temperature_2m_member02": [12.1, None],
    },
}


def answer(**columns: object) -> bytes:
    """The short answer with other columns of temperature, or None to leave one out."""
    hourly = {**SHORT_ANSWER["hourly"], **columns}
    hourly = {name: values for name, values in hourly.items() if values is not None}
    units = {name: "iso8601" if name == "time" else "°C" for name in hourly}
    return json.dumps({**SHORT_ANSWER, "hourly": hourly, "hourly_units": units}).encode()


def parsed(raw: bytes, models: str, fetched_at: datetime) -> ensembles.EnsembleForecast:
    return ensembles.read(opened(raw), ensembles.models_of(models), fetched_at)[0]


@pytest.fixture(scope="session")
def ensemble_servers(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/open_meteo_ensemble_server.py")


@pytest.fixture
def far(
    ensemble_servers: ModuleType, record_2013: ModuleType, now: datetime
) -> Iterator[EnsembleStandIn]:
    with ensemble_servers.serving(record_2013.records(30.0), now) as server:
        yield server


@pytest.fixture
def service(
    client: Callable[..., OpenMeteo], far: EnsembleStandIn, waits: list[float]
) -> Callable[..., WithEnsemble]:
    def made(models: str = "ncep_gefs025", url: str = "") -> WithEnsemble:
        caller = Caller(sleep=waits.append, jitter=lambda: 1.0)
        return WithEnsemble(client(), models, caller, url or far.base_url)

    return made


def test_the_control_run_and_each_member_are_found_and_a_null_stays_missing() -> None:
    served = parsed(json.dumps(SHORT_ANSWER).encode(), "ncep_gefs025", FETCHED)
    assert served.start == datetime(2026, 5, 4, tzinfo=UTC)
    np.testing.assert_array_equal(served.members.air_C, [[12.6, 12.9, 12.1], [12.1, 12.2, np.nan]])
    assert np.isnan(served.members.wind_m_s).all()


def test_a_member_shorter_than_the_others_is_missing_at_its_end() -> None:
    served = parsed(answer(temperature_2m_member02=[11.0]), "a", FETCHED)
    assert np.isnan(served.members.air_C[1, 2])


@pytest.mark.parametrize(
    ("key", "found"),
    [
        ("temperature_2m_member07_ncep_gefs025", True),
        ("temperature_2m_ecmwf_ifs025_ensemble", True),
        ("temperature_2m_member100", True),
        ("temperature_2m_member01_icon_seamless_eps", True),
        ("temperature_2m_spread", False),
        ("temperature_2m_ecmwf_ifs025_ensemble_spread", False),
        ("temperature_2m_previous_day1", False),
        ("temperature_2m_max", False),
        ("temperature_80m_member01", False),
        ("xtemperature_2m_member01", False),
    ],
)
def test_a_column_is_a_member_by_its_number_or_as_the_control_run_of_numbered_ones(
    key: str, found: bool
) -> None:
    others = ("temperature_2m_member01_ecmwf_ifs025_ensemble", "temperature_2m_member02_x")
    hourly = dict.fromkeys((key, *others), [1.0])
    assert (len(ensembles.members_in(hourly)) == 3) == found


def test_models_are_known_by_the_names_they_are_answered_under(
    service: Callable[..., WithEnsemble], now: datetime, caplog: pytest.LogCaptureFixture
) -> None:
    """icon_seamless is answered as icon_seamless_eps: all members count."""
    air = service("icon_seamless,ecmwf_ifs025").forecast(*NEWARK, now)
    assert air.ensemble is not None
    at = round(air.hour_of(now)) + 48
    assert np.isfinite(air.ensemble.air_C[at]).sum() == 40 + 51
    assert "members" not in caplog.text


@pytest.mark.parametrize(
    ("lost", "words"),
    [
        (r"_ecmwf_ifs025_ensemble$", "of 2 models asked for 1 answered: icon_seamless_eps"),
        (r"_member0[1-9]_icon", "9 of 91 members have no air temperature"),
    ],
)
def test_a_loss_of_members_is_told(
    far: EnsembleStandIn,
    ensemble_servers: ModuleType,
    now: datetime,
    client: Callable[..., OpenMeteo],
    caplog: pytest.LogCaptureFixture,
    lost: str,
    words: str,
) -> None:
    def without(document: JsonDict) -> None:
        for name in [name for name in document["hourly"] if re.search(lost, name)]:
            if "members" in words:
                document["hourly"][name] = [None] * len(document["hourly"][name])
            else:
                del document["hourly"][name]

    watch = Watch("Open-Meteo ensemble", "")
    models = "icon_seamless,ecmwf_ifs025"
    one = WithEnsemble(client(), models, Caller(sleep=lambda _: None), far.base_url, watch=watch)
    far.next_answers(ensemble_servers.Fault(edit=without))
    assert one.forecast(*NEWARK, now).ensemble is not None
    assert words in caplog.text
    assert (watch.health().state, watch.health().remark) == ("fine", words)


def test_members_that_are_refused_are_told_where_services_are_told(
    far: EnsembleStandIn, now: datetime, client: Callable[..., OpenMeteo]
) -> None:
    watch = Watch("Open-Meteo ensemble", "")
    one = WithEnsemble(client(), "gfs", Caller(sleep=lambda _: None), far.base_url, watch=watch)
    assert one.forecast(*NEWARK, now).ensemble is None
    assert watch.health().state == "refusing"
    assert "unknown model gfs" in watch.health().words


def test_a_chance_of_rain_is_no_member_of_the_rain() -> None:
    document = {
        **SHORT_ANSWER,
        "hourly": {
            **SHORT_ANSWER["hourly"],
            "precipitation": [1.0, 2.0],
            "precipitation_probability": [90, 95],
        },
        "hourly_units": {
            **SHORT_ANSWER["hourly_units"],
            "precipitation": "mm",
            "precipitation_probability": "%",
        },
    }
    rain = parsed(json.dumps(document).encode(), "a", FETCHED).members.rain_mm
    assert rain[0, 0] == 2.0  # of the hour that begins there
    assert np.isnan(rain[:, 1:]).all()


def test_a_member_in_a_unit_nobody_knows_is_left_out() -> None:
    document = json.loads(answer())
    document["hourly_units"]["temperature_2m_member01"] = "rankine"
    served = parsed(json.dumps(document).encode(), "a", FETCHED)
    assert served.members.air_C.shape == (2, 2)


@pytest.mark.parametrize(
    "raw",
    [
        b"<html>busy</html>",
        b"[]",
        b"{}",
        b'{"error": true, "reason": "x"}',
        b"null",
        answer(temperature_2m=None, temperature_2m_member01=None, temperature_2m_member02=None),
        answer(temperature_2m=[None], temperature_2m_member01=[None], temperature_2m_member02=[]),
        answer(time=["2026-05-04T00:00", "2026-05-04T00:00"]),
        answer(time=["2026-05-04T00:30", "2026-05-04T01:30"]),
        json.dumps(SHORT_ANSWER).encode() + b" the model stopped",
    ],
)
def test_an_answer_without_members_is_refused_in_words(raw: bytes) -> None:
    with pytest.raises(WeatherUnavailable):
        parsed(raw, "a", FETCHED)


@pytest.mark.parametrize("text", ["", ",", "gefs 025", "GEFS", "a,,b", "a&x=1"])
def test_a_name_that_cannot_be_a_model_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="ensemble_models"):
        ensembles.models_of(text)


def test_members_stand_on_the_hours_of_the_forecast(
    service: Callable[..., WithEnsemble], now: datetime
) -> None:
    air = service().forecast(*NEWARK, now)
    assert air.ensemble is not None
    assert air.ensemble.air_C.shape == (air.hours, 31)
    today = round((now.replace(hour=0, minute=0) - air.start) / HOUR)
    assert np.isnan(air.ensemble.air_C[:today]).all()
    assert np.isfinite(air.ensemble.air_C[today : today + 200]).all()
    near = air.ensemble.air_C[today : today + 10].mean(axis=1) - air.air_C[today : today + 10]
    assert np.abs(near).max() < 0.1  # at the lead of nothing the members are the record
    assert air.spread_K[today + 100] > 1.0
    drawn = members.draw(air.bridged()[0].between(now, now + 72 * HOUR), 62, 1)
    assert np.isfinite(drawn.air_C).all()


def test_several_models_are_one_ensemble_and_end_each_at_its_own_reach(
    service: Callable[..., WithEnsemble], now: datetime
) -> None:
    air = service("ncep_gefs025,dwd_icon_seamless_eps").forecast(*NEWARK, now)
    assert air.ensemble is not None
    known = np.isfinite(air.ensemble.air_C).sum(axis=1)
    at = round(air.hour_of(now))
    assert known[at + 100] == 71
    assert known[at + 200] == 31


def test_what_is_asked_for_is_what_the_service_documents(
    service: Callable[..., WithEnsemble], far: EnsembleStandIn, now: datetime
) -> None:
    service("ncep_gefs025,cmc_gem_geps").forecast(*NEWARK, now)
    assert far.queries == [
        {
            "latitude": "40.692",
            "longitude": "-74.169",
            "models": "ncep_gefs025,cmc_gem_geps",
            "hourly": "temperature_2m,dew_point_2m,wind_speed_10m,precipitation,cloud_cover",
            "temperature_unit": "celsius",
            "wind_speed_unit": "ms",
            "precipitation_unit": "mm",
            "timeformat": "iso8601",
            "timezone": "GMT",
            "forecast_days": "10",
        }
    ]


def test_members_are_asked_for_once_in_six_hours_and_kept_meanwhile(
    service: Callable[..., WithEnsemble], far: EnsembleStandIn, stand_in: StandIn, now: datetime
) -> None:
    one = service()
    for h in range(6):
        stand_in.now = now + h * HOUR
        assert one.forecast(*NEWARK, now + h * HOUR).ensemble is not None
    assert (len(far.queries), len(stand_in.requests)) == (1, 6)
    stand_in.now = far.now = now + 6 * HOUR
    one.forecast(*NEWARK, now + 6 * HOUR)
    assert len(far.queries) == 2


FAULTS: dict[str, JsonDict] = {
    "refused": {"status": 400, "reason": "unknown model"},
    "down": {"status": 503},
    "daily limit": {"status": 429, "reason": "Daily limit"},
    "cut": {"change": lambda body: body[: len(body) // 2]},
    "sentence": {"change": lambda body: body + b"stopped"},
    "html": {"change": lambda _: b"<html></html>"},
    "elsewhere": {"edit": lambda d: {**d, "latitude": 10.0}},
    "absurd": {
        "edit": lambda d: {
            **d,
            "hourly": {k: v if k == "time" else [1e9] * len(v) for k, v in d["hourly"].items()},
        }
    },
    "no times": {"edit": lambda d: {**d, "hourly": {"time": []}}},
    "text": {
        "edit": lambda d: {
            **d,
            "hourly": {k: v if k == "time" else "warm" for k, v in d["hourly"].items()},
        }
    },
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_failing_ensemble_never_costs_the_forecast(
    service: Callable[..., WithEnsemble],
    far: EnsembleStandIn,
    ensemble_servers: ModuleType,
    now: datetime,
    name: str,
    caplog: pytest.LogCaptureFixture,
    client: Callable[..., OpenMeteo],
) -> None:
    far.next_answers(*[ensemble_servers.Fault(**FAULTS[name])] * 4)
    with caplog.at_level(logging.WARNING):
        air = service().forecast(*NEWARK, now)
    assert air.ensemble is None
    np.testing.assert_array_equal(air.air_C, client().forecast(*NEWARK, now).air_C)
    assert "no ensemble at 40.692, -74.169" in caplog.text


def test_members_of_an_impossible_place_are_not_believed(
    service: Callable[..., WithEnsemble],
    far: EnsembleStandIn,
    ensemble_servers: ModuleType,
    now: datetime,
) -> None:
    far.next_answers(ensemble_servers.Fault(edit=lambda d: {**d, "latitude": 10**400}))
    assert service().forecast(*NEWARK, now).ensemble is None


def test_after_a_failure_the_last_members_serve_for_a_day_and_the_service_is_left_alone_for_an_hour(
    service: Callable[..., WithEnsemble],
    far: EnsembleStandIn,
    stand_in: StandIn,
    ensemble_servers: ModuleType,
    now: datetime,
) -> None:
    one = service()
    one.forecast(*NEWARK, now)
    far.next_answers(*[ensemble_servers.Fault(status=400)] * 99)
    asked, served = [], []
    for h in (6, 6.5, 7, 23, 25):
        stand_in.now = now + h * HOUR
        served.append(one.forecast(*NEWARK, now + h * HOUR).ensemble is not None)
        asked.append(len(far.queries))
    assert asked == [2, 2, 3, 4, 5]
    assert served == [True, True, True, True, False]


def test_a_forecast_that_fails_is_a_failure_whatever_the_members_say(
    service: Callable[..., WithEnsemble],
    stand_in: StandIn,
    servers: ModuleType,
    far: EnsembleStandIn,
    now: datetime,
) -> None:
    stand_in.next_answers(*[servers.Fault(status=400)] * 4)
    with pytest.raises(WeatherUnavailable):
        service().forecast(*NEWARK, now)
    assert far.queries == []


def test_one_credit_line_for_one_service(service: Callable[..., WithEnsemble]) -> None:
    assert service().attribution == "Weather data by Open-Meteo.com (CC BY 4.0)"
