"""A weather service that is down is left alone for a while, and it is told how each one does."""

import threading
from collections.abc import Callable
from dataclasses import FrozenInstanceError
from datetime import datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.air.series import AirSeries
from models.errors import InputError, WeatherUnavailable
from service.weather.copies import Copies, copy_of
from service.weather.health import OPENS_AFTER, Watched
from service.weather.open_meteo import OpenMeteo
from service.weather.provider import Provider
from tests.stand_in.open_meteo_server import StandIn
from tests.support.raw import JsonDict

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)
HERE, THERE = (40.0, -90.0), (41.0, -90.0)


def still_air(now: datetime, source: str) -> AirSeries:
    same = np.ones(48)
    start = now.replace(minute=0)
    return AirSeries(start, same, same, same, same, same, same, now, source)


class Service:
    """A weather service that does what the test says."""

    def __init__(self, name: str = "one", attribution: str = "credit to one") -> None:
        self.name, self.attribution = name, attribution
        self.asked: list[tuple[float, float]] = []
        self.error: Exception | None = None

    def forecast(
        self, latitude: float, longitude: float, now: datetime, _altitude_m: float | None = None
    ) -> AirSeries:
        self.asked.append((latitude, longitude))
        if self.error is not None:
            raise self.error
        return still_air(now, f"{self.name} forecast")

    def down(self, wait_s: float | None = 60.0, words: str = "status 503") -> None:
        self.error = WeatherUnavailable(self.name, words, wait_s)


@pytest.fixture
def service() -> Service:
    return Service()


@pytest.fixture
def watched(service: Service) -> Watched[Provider]:
    return Watched(service, "one.example")


def fail(watched: Watched[Provider], now: datetime, times: int = 1) -> WeatherUnavailable:
    for _ in range(times):
        with pytest.raises(WeatherUnavailable) as caught:
            watched.forecast(*HERE, now)
    return caught.value


def test_after_five_failures_in_a_row_it_is_left_alone(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    service.down()
    fail(watched, now, OPENS_AFTER)
    error = fail(watched, now + 14 * MINUTE)
    assert len(service.asked) == OPENS_AFTER
    assert error.retry_after_s == 60.0
    assert str(error) == (
        "one: not asked before 15:45 UTC, after 5 failures in a row; the last: status 503"
    )
    fail(watched, now + 15 * MINUTE)
    assert len(service.asked) == OPENS_AFTER + 1


def test_an_answer_in_between_starts_the_count_anew(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    for _ in range(3):
        service.down()
        fail(watched, now, OPENS_AFTER - 1)
        service.error = None
        watched.forecast(*HERE, now)
    assert len(service.asked) == 3 * OPENS_AFTER


def test_each_trial_that_fails_makes_the_rest_longer_up_to_an_hour(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    service.down()
    fail(watched, now, OPENS_AFTER)
    rests = []
    for _ in range(4):
        until = watched.health().rests_until
        assert until is not None
        rests.append((until - now) / MINUTE)
        now = until
        fail(watched, now)
    assert rests == [15, 30, 60, 60]
    service.error = None
    now += 2 * HOUR
    watched.forecast(*HERE, now)
    service.down()
    fail(watched, now, OPENS_AFTER)
    until = watched.health().rests_until
    assert until == now + 15 * MINUTE, "an answer has made it as good as new"


def test_a_service_that_asks_for_longer_gets_it(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    service.down(wait_s=5 * 3600.0)
    fail(watched, now, OPENS_AFTER)
    assert watched.health().rests_until == now + 5 * HOUR


def test_only_one_goes_through_as_a_trial(now: datetime) -> None:
    held, entered = threading.Event(), threading.Event()

    class Slow(Service):
        slow = False

        def forecast(
            self, latitude: float, longitude: float, now: datetime, _altitude_m: float | None = None
        ) -> AirSeries:
            if self.slow:
                entered.set()
                held.wait(10.0)
            return super().forecast(latitude, longitude, now)

    slow = Slow()
    watched = Watched(slow, "")
    slow.down()
    fail(watched, now, OPENS_AFTER)
    slow.slow, slow.error = True, None
    later = now + HOUR
    trial = threading.Thread(target=watched.forecast, args=(*HERE, later))
    trial.start()
    assert entered.wait(10.0)
    assert "just being tried" in fail(watched, later).reason
    held.set()
    trial.join()
    slow.slow = False
    assert watched.forecast(*HERE, later).hours == 48


def test_failures_under_way_when_the_rest_began_do_not_make_it_longer(now: datetime) -> None:
    gate = threading.Barrier(9)

    class Together(Service):
        def forecast(
            self, latitude: float, longitude: float, now: datetime, _altitude_m: float | None = None
        ) -> AirSeries:
            gate.wait(10.0)
            return super().forecast(latitude, longitude, now)

    service = Together()
    service.down()
    watched = Watched(service, "")
    threads = [threading.Thread(target=fail, args=(watched, now)) for _ in range(9)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    told = watched.health()
    assert (told.failures, told.rests_until) == (9, now + 15 * MINUTE)


def test_a_refusal_of_one_point_says_nothing_about_the_service(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    service.down(wait_s=None, words="status 404: outside the area")
    fail(watched, now, 3 * OPENS_AFTER)
    assert len(service.asked) == 3 * OPENS_AFTER
    told = watched.health()
    assert (told.failures, told.rests_until) == (0, None)
    assert told.words == "status 404: outside the area"


def test_a_refusal_counts_once_it_was_said_again_for_hours(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    service.down(wait_s=None, words="status 403: it refuses us")
    fail(watched, now, 3 * OPENS_AFTER)
    assert not watched.refuses(*HERE, now), "one bad moment of the network in front"
    fail(watched, now + 5 * HOUR)
    assert not watched.refuses(*HERE, now + 5 * HOUR)
    fail(watched, now + 6 * HOUR)
    assert watched.refuses(*HERE, now + 11 * HOUR)
    assert not watched.refuses(*THERE, now + 6 * HOUR)
    assert not watched.refuses(*HERE, now + 12 * HOUR), "as long as it has refused, then anew"
    fail(watched, now + 12 * HOUR)
    assert watched.refuses(*HERE, now + 23 * HOUR)
    service.error = None
    watched.forecast(*HERE, now + 24 * HOUR)
    assert not watched.refuses(*HERE, now + 24 * HOUR)


def test_a_place_that_never_was_in_its_area_is_asked_about_once_a_week(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    service.down(wait_s=None, words="status 404: outside the area")
    asked = []
    for hour in range(24 * 90):
        if not watched.refuses(*HERE, now + hour * HOUR):
            fail(watched, now + hour * HOUR)
            asked.append(hour)
    assert asked[:7] == list(range(7))
    assert len(asked) < 24
    assert asked[-1] - asked[-2] == 7 * 24


def test_what_was_refused_by_a_clock_of_another_year_is_asked_again(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    """Case 23."""
    service.down(wait_s=None)
    for hour in range(8):
        fail(watched, now + hour * HOUR)
    assert watched.refuses(*HERE, now + 8 * HOUR)
    assert not watched.refuses(*HERE, now - timedelta(days=365))
    fail(watched, now - timedelta(days=365))
    assert not watched.refuses(*HERE, now - timedelta(days=364))


def test_whoever_has_only_refused_is_told_to_refuse(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    service.down(wait_s=None, words="status 403: it refuses us")
    fail(watched, now)
    told = watched.health()
    assert (told.state, told.words) == ("refusing", "status 403: it refuses us")
    service.error = None
    watched.forecast(*THERE, now + HOUR)
    assert watched.health().state == "fine", "it serves another place"
    service.down(wait_s=None, words="status 403: it refuses us")
    fail(watched, now + 2 * HOUR)
    assert watched.health().state == "refusing"
    service.error = None
    watched.forecast(*HERE, now + 3 * HOUR)
    assert (watched.health().state, watched.health().refused) == ("fine", 0)


@pytest.mark.parametrize("error", [InputError("latitude", 91, "none", "less"), KeyError("bug")])
def test_what_is_not_the_services_fault_is_not_counted(
    watched: Watched[Provider], service: Service, now: datetime, error: Exception
) -> None:
    service.down()
    fail(watched, now, OPENS_AFTER)
    service.error = error
    later = now + HOUR
    for _ in range(3):
        with pytest.raises(type(error)):
            watched.forecast(*HERE, later)
    service.error = None
    assert watched.forecast(*HERE, later).hours == 48, "the trial was given back"


def test_a_rest_ends_when_the_clock_is_set_back(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    """Case 23."""
    service.down()
    fail(watched, now, OPENS_AFTER)
    service.error = None
    assert watched.forecast(*HERE, now - timedelta(days=30)).hours == 48


def test_how_it_does_is_a_look_that_does_not_change(
    watched: Watched[Provider], service: Service, now: datetime
) -> None:
    before = watched.health()
    assert (before.provider, before.host, before.state) == ("one", "one.example", "not asked yet")
    watched.forecast(*HERE, now)
    fine = watched.health()
    service.down()
    fail(watched, now + HOUR)
    failing = watched.health()
    assert (before.state, fine.state, failing.state) == ("not asked yet", "fine", "failing")
    assert (failing.last_success, failing.last_failure) == (now, now + HOUR)
    assert (failing.words, failing.failures) == ("status 503", 1)
    with pytest.raises(FrozenInstanceError):
        fine.failures = 3  # type: ignore[misc]


def test_what_could_not_be_used_is_not_kept_to_be_used_again(
    service: Service, now: datetime
) -> None:
    copies = Copies()
    key, other = ("one", "http://x", ""), ("two", "http://x", "")
    for k in (key, other):
        copies.keep(k, copy_of(b"{}", {"Cache-Control": "max-age=9999"}, now))
    service.down(words="no air temperature in the answer")
    fail(Watched(service, "", copies), now)
    assert copies.get(key) is None
    assert copies.get(other) is not None


def test_a_body_without_weather_is_asked_for_anew_though_it_may_be_kept(
    client: Callable[..., OpenMeteo], stand_in: StandIn, servers: ModuleType, now: datetime
) -> None:
    def empty(document: JsonDict) -> None:
        document["hourly"]["temperature_2m"] = [None] * len(document["hourly"]["time"])

    stand_in.next_answers(
        servers.Fault(edit=empty, headers={"Cache-Control": "max-age=9999", "ETag": '"a"'})
    )
    copies = Copies()
    watched = Watched(client(copies=copies), "", copies)
    fail(watched, now)
    assert watched.forecast(40.69, -74.17, now).hours > 400
    assert "If-None-Match" not in stand_in.requests[1].headers
