"""What a weather service lets us keep is not asked for again; its slips in dates do no harm."""

import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime
from types import ModuleType

import pytest

from models.errors import WeatherUnavailable
from service.weather.copies import MOST_COPIES, Copies, copy_of
from service.weather.http import Caller, Refusal
from service.weather.open_meteo import OpenMeteo
from tests.stand_in.caching_server import CachingStandIn

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)


@pytest.fixture
def service(caching_servers: ModuleType) -> Iterator[CachingStandIn]:
    with caching_servers.serving({"issue": 1}) as server:
        yield server


@pytest.fixture
def caller(waits: list[float]) -> Caller:
    return Caller(contact="yard@castclock.example", sleep=waits.append, jitter=lambda: 1.0)


def ask(caller: Caller, service: CachingStandIn, now: datetime, **parameters: str) -> bytes:
    return caller.get_copy(
        "stand-in", service.base_url + "/x", parameters, now, lambda *_: Refusal("", 900.0)
    ).body


def date(at: datetime) -> str:
    return format_datetime(at.astimezone(UTC), usegmt=True)


@pytest.mark.parametrize(
    "headers",
    [
        {"Cache-Control": "public, max-age=1800"},
        {"Cache-Control": "public, max-age=1800, s-maxage=3600", "Expires": "0"},
        {"Cache-Control": "max-age=2100", "Age": "300"},
        {"Expires": "Sat, 20 Apr 2013 16:00:00 GMT"},
        {"Expires": "Sat, 20 Apr 2013 12:45:00 GMT", "Date": "Sat, 20 Apr 2013 12:15:00 GMT"},
    ],
    ids=["max-age", "max-age before Expires", "some of it spent", "Expires", "its clock 3 h slow"],
)
def test_it_is_not_asked_again_before_its_time(
    caller: Caller, service: CachingStandIn, now: datetime, headers: dict[str, str]
) -> None:
    """Case 17; and by the service's own clock, when that differs from ours."""
    service.headers = headers
    first = ask(caller, service, now)
    service.document = {"issue": 2}
    assert ask(caller, service, now + 29 * MINUTE) == first
    assert len(service.requests) == 1
    assert b"2" in ask(caller, service, now + 31 * MINUTE)
    assert len(service.requests) == 2


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Cache-Control": "no-store, max-age=1800", "ETag": '"a"'},
        {"Cache-Control": "max-age=1800x"},
        {"Cache-Control": "max-age=-5"},
        {"Expires": "-1"},
        {"Expires": "2013-04-20T18:00:00Z"},
        {"Expires": "Sat, 20 Apr 2013 15:00:00 GMT"},
    ],
    ids=["nothing", "no-store", "no number", "negative", "-1", "ISO 8601", "past"],
)
def test_without_leave_nothing_is_kept(
    caller: Caller, service: CachingStandIn, now: datetime, headers: dict[str, str]
) -> None:
    service.headers = headers
    ask(caller, service, now)
    service.document = {"issue": 2}
    assert b"2" in ask(caller, service, now)
    assert "If-None-Match" not in service.requests[1]


@pytest.mark.parametrize(
    "stamp",
    [
        "Sat, 20 Apr 2013 15:02:11 GMT",
        "Sat, 20 Apr 2013 15:02:11 +0000",
        "Saturday, 20-Apr-13 15:02:11 GMT",
    ],
)
def test_the_date_of_the_last_change_goes_back_byte_for_byte(
    caller: Caller, service: CachingStandIn, now: datetime, stamp: str
) -> None:
    """Cases 18 and 20."""
    service.headers = {"Last-Modified": stamp}
    first = ask(caller, service, now)
    service.document = {"issue": "not sent"}
    assert ask(caller, service, now + MINUTE) == first
    assert service.requests[1]["If-Modified-Since"] == stamp
    assert service.unchanged == 1


def test_a_tag_goes_back_as_well_and_a_new_one_takes_its_place(
    caller: Caller, service: CachingStandIn, now: datetime
) -> None:
    service.headers = {"ETag": 'W/"one"', "Last-Modified": date(now)}
    ask(caller, service, now)
    assert ask(caller, service, now + MINUTE) == b'{"issue": 1}'
    assert service.requests[1]["If-None-Match"] == 'W/"one"'
    service.headers, service.document = {"ETag": 'W/"two"'}, {"issue": 2}
    assert b"2" in ask(caller, service, now + 2 * MINUTE)
    ask(caller, service, now + 3 * MINUTE)
    assert service.requests[3]["If-None-Match"] == 'W/"two"'
    assert "If-Modified-Since" not in service.requests[3]


def test_a_copy_that_must_be_checked_each_time_is(
    caller: Caller, service: CachingStandIn, now: datetime
) -> None:
    service.headers = {"ETag": '"a"', "Cache-Control": "no-cache, max-age=1800"}
    ask(caller, service, now)
    ask(caller, service, now + MINUTE)
    assert (len(service.requests), service.unchanged) == (2, 1)


def test_not_modified_may_name_a_new_time_until_which_it_holds(
    caller: Caller, service: CachingStandIn, now: datetime
) -> None:
    service.headers = {"ETag": '"a"', "Cache-Control": "max-age=60"}
    ask(caller, service, now)
    ask(caller, service, now + 2 * MINUTE)
    ask(caller, service, now + 2.5 * MINUTE)
    assert len(service.requests) == 2
    ask(caller, service, now + 4 * MINUTE)
    assert len(service.requests) == 3


def test_a_last_change_in_the_future_does_not_freeze_the_forecast(
    caller: Caller, service: CachingStandIn, now: datetime
) -> None:
    """Case 19: seen three weeks ahead at api.weather.gov."""
    service.headers = {"Last-Modified": date(now + timedelta(days=22))}
    ask(caller, service, now)
    service.document = {"issue": 2}
    assert b"2" in ask(caller, service, now + MINUTE)
    assert "If-Modified-Since" not in service.requests[1]
    service.headers = {"Last-Modified": date(now + 6 * MINUTE)}
    ask(caller, service, now + 2 * MINUTE)
    ask(caller, service, now + 3 * MINUTE)
    assert "If-Modified-Since" in service.requests[3], "clocks 4 min apart are nothing unusual"


def test_every_six_hours_it_is_asked_without_conditions(
    caller: Caller, service: CachingStandIn, now: datetime
) -> None:
    service.headers = {"ETag": '"stuck"', "Cache-Control": "max-age=999999"}
    ask(caller, service, now)
    assert ask(caller, service, now + 5.9 * HOUR) == b'{"issue": 1}'
    assert len(service.requests) == 1
    service.document = {"issue": 2}
    assert b"2" in ask(caller, service, now + 6 * HOUR), "its tag still says unchanged"
    assert service.unchanged == 0


def test_confirmations_do_not_put_the_six_hours_off(
    caller: Caller, service: CachingStandIn, now: datetime
) -> None:
    service.headers = {"ETag": '"stuck"'}
    ask(caller, service, now)
    service.document = {"issue": 2}
    for hour in (1, 2, 3, 4, 5):
        assert b"1" in ask(caller, service, now + hour * HOUR)
    assert b"2" in ask(caller, service, now + 6 * HOUR)


def test_a_clock_that_was_set_back_makes_a_copy_count_for_nothing(
    caller: Caller, service: CachingStandIn, now: datetime
) -> None:
    """Case 23."""
    service.headers = {"ETag": '"a"', "Cache-Control": "max-age=3600"}
    ask(caller, service, now)
    ask(caller, service, now - MINUTE)
    assert len(service.requests) == 1, "a minute is nothing"
    service.document = {"issue": 2}
    assert b"2" in ask(caller, service, now - 2 * HOUR)
    assert "If-None-Match" not in service.requests[1]


def test_nothing_new_that_was_not_asked_is_no_answer(
    caller: Caller, service: CachingStandIn, waits: list[float], now: datetime
) -> None:
    service.obeys = False
    with pytest.raises(WeatherUnavailable, match="was not asked"):
        ask(caller, service, now)
    assert waits == [1.0, 3.0, 9.0]


def test_an_error_is_not_answered_from_the_copy(
    caller: Caller, service: CachingStandIn, now: datetime
) -> None:
    service.headers = {"ETag": '"a"'}
    ask(caller, service, now)
    service.status = 503
    with pytest.raises(WeatherUnavailable, match="503"):
        ask(caller, service, now + MINUTE)


def test_another_point_or_service_has_its_own_copy(
    caller: Caller, service: CachingStandIn, now: datetime
) -> None:
    service.headers = {"Cache-Control": "max-age=600"}
    ask(caller, service, now, latitude="40.1")
    ask(caller, service, now, latitude="40.2")
    caller.get_copy(
        "another",
        service.base_url + "/x",
        {"latitude": "40.1"},
        now,
        lambda *_: Refusal("", None),
        "application/geo+json",
    )
    assert len(service.requests) == 3


def test_the_memory_is_bounded_and_the_least_used_go_first(now: datetime) -> None:
    headers = {"ETag": '"a"'}
    copies = Copies(most=3, most_bytes=100)
    for name in "abc":
        copies.keep(("s", name, ""), copy_of(b"x" * 10, headers, now))
    copies.get(("s", "a", ""))
    copies.keep(("s", "d", ""), copy_of(b"x" * 10, headers, now))
    assert copies.get(("s", "b", "")) is None
    assert copies.get(("s", "a", "")) is not None
    copies.keep(("s", "e", ""), copy_of(b"x" * 95, headers, now))
    assert [copies.get(("s", name, "")) is not None for name in "acde"] == [
        False,
        False,
        False,
        True,
    ]
    copies.keep(("s", "f", ""), copy_of(b"x" * 101, headers, now))
    assert copies.get(("s", "f", "")) is None, "one that is too long for all of it"


def test_many_threads_leave_the_memory_whole(now: datetime) -> None:
    copies = Copies()

    def work(name: int) -> None:
        for k in range(200):
            copies.keep(("s", f"{k % 90}", ""), copy_of(b"x" * (name + k), {"ETag": '"a"'}, now))
            copies.get(("s", f"{(k + name) % 90}", ""))

    threads = [threading.Thread(target=work, args=(name,)) for name in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    kept = [copies.get(("s", f"{k}", "")) for k in range(90)]
    assert sum(copy is not None for copy in kept) == MOST_COPIES
    assert copies._bytes == sum(len(copy.body) for copy in kept if copy is not None)


def test_a_kept_forecast_does_not_pass_for_one_made_now(
    servers: ModuleType,
    record_2013: ModuleType,
    caller: Caller,
    service: CachingStandIn,
    now: datetime,
) -> None:
    """Open-Meteo tells no time of issue: when its body came stands for it, not when it is used."""
    with servers.serving(record_2013.records(), now) as sky:
        OpenMeteo(caller, sky.base_url).forecast(40.69, -74.17, now)
        service.document = sky.document(sky.requests[0].query)
    provider = OpenMeteo(caller, service.base_url)
    service.headers = {"ETag": '"a"', "Cache-Control": "max-age=1800"}
    assert provider.forecast(40.69, -74.17, now).issued_at == now
    assert provider.forecast(40.69, -74.17, now + 20 * MINUTE).issued_at == now
    assert provider.forecast(40.69, -74.17, now + 2 * HOUR).issued_at == now
    assert (len(service.requests), service.unchanged) == (2, 1)
    assert provider.forecast(40.69, -74.17, now + 7 * HOUR).issued_at == now + 7 * HOUR
