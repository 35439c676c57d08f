"""Open-Meteo's archive against its stand-in: days gone by, as the airport of 2013 measured them."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.errors import InputError, WeatherUnavailable
from service.weather.http import Caller
from service.weather.open_meteo_archive import OpenMeteoArchive
from tests.stand_in.open_meteo_archive_server import ArchiveStandIn

NEWARK = (40.69251, -74.16872)
DAY, HOUR = timedelta(days=1), timedelta(hours=1)


@pytest.fixture
def server(
    archive_servers: ModuleType, record_2013: ModuleType, now: datetime
) -> Iterator[ArchiveStandIn]:
    with archive_servers.serving(record_2013.records(), now) as running:
        yield running


@pytest.fixture
def archive(server: ArchiveStandIn, waits: list[float]) -> OpenMeteoArchive:
    return OpenMeteoArchive(Caller(sleep=waits.append), server.base_url)


def test_whole_days_come_as_they_were_measured(
    archive: OpenMeteoArchive, server: ArchiveStandIn, record_2013: ModuleType, now: datetime
) -> None:
    air = archive.record(*NEWARK, now - 40 * DAY, now - 30 * DAY, now)
    assert air.start == datetime(2013, 3, 11, tzinfo=UTC)
    assert air.end == datetime(2013, 3, 21, 23, tzinfo=UTC)
    truth = record_2013.series_2013("EWR", air.start, air.end)
    np.testing.assert_allclose(air.air_C, truth.air_C, atol=0.051)
    np.testing.assert_allclose(air.dew_point_C, truth.dew_point_C, atol=0.051)
    np.testing.assert_allclose(air.wind_m_s, truth.wind_m_s, atol=0.0051)
    np.testing.assert_allclose(air.rain_mm[:-1], truth.rain_mm[:-1], atol=0.0051)
    assert air.source == "Open-Meteo archive"
    assert air.issued_at == air.end + HOUR, "all of it has been"
    assert server.requests[0].query["start_date"] == "2013-03-11"
    assert server.requests[0].query["timezone"] == "GMT"


def test_the_last_days_are_missing_until_the_archive_has_them(
    archive: OpenMeteoArchive, now: datetime
) -> None:
    air = archive.record(*NEWARK, now - 5 * DAY, now, now)
    assert now - 2 * DAY - HOUR < air.end <= now - 2 * DAY


def test_nothing_yet_is_no_weather(archive: OpenMeteoArchive, now: datetime) -> None:
    with pytest.raises(WeatherUnavailable, match="^Open-Meteo archive: no air temperature"):
        archive.record(*NEWARK, now - HOUR, now, now)


@pytest.mark.parametrize("days", [371, -1])
def test_more_than_a_year_is_not_asked_for(
    archive: OpenMeteoArchive, server: ArchiveStandIn, now: datetime, days: int
) -> None:
    with pytest.raises(WeatherUnavailable, match="at most 370 days") as caught:
        archive.record(*NEWARK, now - days * DAY, now, now)
    assert caught.value.retry_after_s is None
    assert server.requests == []


def test_a_year_is(archive: OpenMeteoArchive, server: ArchiveStandIn) -> None:
    new_year = datetime(2013, 12, 31, 23, tzinfo=UTC)
    server.now = new_year
    air = archive.record(*NEWARK, datetime(2013, 1, 2, tzinfo=UTC), new_year, new_year)
    assert air.hours > 360 * 24


def test_coordinates_that_are_none_are_refused(archive: OpenMeteoArchive, now: datetime) -> None:
    with pytest.raises(InputError, match="latitude"):
        archive.record(91.0, 0.0, now - DAY, now, now)


def test_a_service_that_is_down_is_named(
    archive: OpenMeteoArchive, server: ArchiveStandIn, servers: ModuleType, now: datetime
) -> None:
    server.next_answers(*[servers.Fault(status=500)] * 4)
    with pytest.raises(WeatherUnavailable, match="^Open-Meteo archive: status 500"):
        archive.record(*NEWARK, now - 9 * DAY, now - 5 * DAY, now)


def test_the_setting_of_its_address_is_named() -> None:
    with pytest.raises(InputError, match="archive_url"):
        OpenMeteoArchive(base_url="archive")
