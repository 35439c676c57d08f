"""How a weather service has been doing, and leaving it alone while it is down.

After five failed refreshes in a row it rests; then one refresh goes through as a trial while
others are refused, and the rest after each failed trial is twice as long. A refusal for good of
one point (retry_after_s None) says nothing about the service and is remembered for the point; it
counts once it has been said again and again for hours, since networks refuse by mistake too.
"""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import partial
from threading import Lock
from typing import Generic, Literal, TypeVar

from models.air import plausible
from models.air.series import AirSeries
from models.errors import WeatherUnavailable
from service import backoff, metrics
from service.weather.answer import refused
from service.weather.choose import CLOCKS_APART
from service.weather.copies import Copies
from service.weather.provider import Archive, Provider, Service, Warns, WeatherAlert

OPENS_AFTER = 5  # failed refreshes in a row
FIRST_REST = timedelta(minutes=15)
LONGEST_REST = timedelta(hours=1)
TRIAL_S = 60.0  # what whoever comes during a trial is told to wait
REFUSALS_OVER = timedelta(hours=6)  # so long, and so often, before a refusal counts
REFUSALS = 3
REFUSED_FOR = timedelta(days=7)  # a point outside the area of a service does not move into it
MOST_POINTS = 1000
State = Literal["fine", "failing", "refusing", "not asked yet"]
Point = tuple[float, float]  # latitude, longitude
S = TypeVar("S", bound=Service, covariant=True)
T = TypeVar("T")


@dataclass(frozen=True)
class Health:
    """One look at a service under one host; `words` are those of the last failure.

    failures : in a row, 0 when the last refresh was answered
    refused : points whose last answer was a refusal for good
    remark : what the last answer lacked, in words
    rests_until : it is not asked before; None when it is
    """

    provider: str
    host: str
    last_success: datetime | None = None
    last_failure: datetime | None = None
    words: str = ""
    failures: int = 0
    refused: int = 0
    remark: str = ""
    rests_since: datetime | None = None
    rests_until: datetime | None = None

    @property
    def state(self) -> State:
        """As the last refresh went; a service that refuses one place and serves others is fine."""
        if self.failures:
            return "failing"
        answered, failed = self.last_success, self.last_failure
        refused_last = self.refused and answered and failed and answered < failed
        if answered is not None and not refused_last:
            return "fine"
        return "refusing" if self.refused else "not asked yet"

    def rests(self, now: datetime) -> bool:
        """A rest from the future ends at once: then a clock was moved."""
        if self.rests_since is None or self.rests_until is None:
            return False
        return self.rests_since - CLOCKS_APART <= now < self.rests_until


@dataclass(frozen=True)
class _Refused:
    """How often one point was refused for good, and over which time."""

    first: datetime
    last: datetime
    times: int = 1

    def again(self, now: datetime) -> "_Refused":
        if self.last > now + CLOCKS_APART:  # a clock was moved
            return _Refused(now, now)
        return _Refused(self.first, now, self.times + 1)

    def counts(self, now: datetime) -> bool:
        """Left alone for as long as it has been refusing, at most a week."""
        over = self.last - self.first
        if self.times < REFUSALS or over < REFUSALS_OVER:
            return False
        return self.last - CLOCKS_APART <= now < self.last + min(over, REFUSED_FOR)


class Watch:
    """Counts the refreshes of one service under one host. Safe between threads."""

    def __init__(self, provider: str, host: str, copies: Copies | None = None) -> None:
        self._health = Health(provider, host)
        self._copies = copies
        self._rests_in_a_row = 0
        self._on_trial = False
        self._refused: OrderedDict[Point, _Refused] = OrderedDict()
        self._lock = Lock()

    def through(self, point: Point, now: datetime, refresh: Callable[[], T]) -> T:
        """What the refresh gives; WeatherUnavailable at once, and no refresh, during a rest."""
        trial = self._let_through(now)
        try:
            answer = refresh()
        except WeatherUnavailable as error:
            outcome = "refused" if error.permanent else "failed"
            metrics.WEATHER.labels(self._health.provider, outcome).inc()
            if error.permanent:
                self._remember(point, now, error)
            else:
                self._failed(error, now, trial)
            raise
        else:
            metrics.WEATHER.labels(self._health.provider, "answered").inc()
            self._succeeded(point, now)
            return answer
        finally:
            if trial:
                with self._lock:
                    self._on_trial = False

    def doubted(self, why: str, now: datetime) -> WeatherUnavailable:
        """An answer that came and cannot be used: a failure like others."""
        error = refused(self._health.provider, why)
        self._failed(error, now, trial=False)
        return error

    def health(self) -> Health:
        with self._lock:
            return self._health

    def remark(self, words: str) -> None:
        """What the answer that has just come lacked; empty when it lacked nothing."""
        with self._lock:
            self._health = replace(self._health, remark=words)

    def refuses(self, point: Point, now: datetime) -> bool:
        """Whether it has refused this point for good, again and again for hours."""
        with self._lock:
            refused = self._refused.get(point)
            return refused is not None and refused.counts(now)

    def _let_through(self, now: datetime) -> bool:
        """Whether this refresh is the trial of a service that has rested; raises while it rests."""
        with self._lock:
            health = self._health
            if health.rests_until is None:
                return False
            if health.rests(now):
                wait_s = (health.rests_until - now).total_seconds()
                raise WeatherUnavailable(health.provider, _resting(health), wait_s)
            if self._on_trial:
                raise WeatherUnavailable(health.provider, "is just being tried again", TRIAL_S)
            self._on_trial = True
            return True

    def _succeeded(self, point: Point, now: datetime) -> None:
        with self._lock:
            self._refused.pop(point, None)
            self._rests_in_a_row = 0
            self._health = replace(
                self._health,
                last_success=now,
                failures=0,
                refused=len(self._refused),
                rests_since=None,
                rests_until=None,
            )

    def _failed(self, error: WeatherUnavailable, now: datetime, trial: bool) -> None:
        with self._lock:
            if self._copies is not None:
                self._copies.forget(self._health.provider)
            failures = self._health.failures + 1
            self._health = replace(
                self._health, last_failure=now, words=error.reason, failures=failures
            )
            if not (trial or failures == OPENS_AFTER):
                return  # one that was under way when the rest began does not make it longer
            self._rests_in_a_row += 1
            own = backoff.pause(FIRST_REST, self._rests_in_a_row, LONGEST_REST)
            theirs = timedelta(seconds=error.retry_after_s or 0.0)
            self._health = replace(
                self._health, rests_since=now, rests_until=now + max(own, theirs)
            )

    def _remember(self, point: Point, now: datetime, error: WeatherUnavailable) -> None:
        with self._lock:
            before = self._refused.pop(point, None)
            self._refused[point] = before.again(now) if before else _Refused(now, now)
            while len(self._refused) > MOST_POINTS:
                self._refused.popitem(last=False)
            self._health = replace(
                self._health, last_failure=now, words=error.reason, refused=len(self._refused)
            )


class Watched(Generic[S]):
    """A service whose refreshes are counted; of the same protocol as the service itself.

    name : under which its failures are told, where that is another than its own
    """

    def __init__(
        self, service: S, host: str, copies: Copies | None = None, name: str | None = None
    ) -> None:
        self._service = service
        self.name = service.name if name is None else name
        self._watch = Watch(self.name, host, copies)
        self.health = self._watch.health
        self.doubted = self._watch.doubted

    @property
    def attribution(self) -> str:
        return self._service.attribution

    def forecast(
        self: "Watched[Provider]",
        latitude: float,
        longitude: float,
        now: datetime,
        altitude_m: float | None = None,
    ) -> AirSeries:
        ask = partial(self._service.forecast, latitude, longitude, now, altitude_m)
        return self._possible(latitude, longitude, now, ask)

    def record(
        self: "Watched[Archive]",
        latitude: float,
        longitude: float,
        begin: datetime,
        end: datetime,
        now: datetime,
    ) -> AirSeries:
        ask = partial(self._service.record, latitude, longitude, begin, end, now)
        return self._possible(latitude, longitude, now, ask)

    def alerts(
        self: "Watched[Warns]", latitude: float, longitude: float, now: datetime
    ) -> tuple[WeatherAlert, ...]:
        ask = partial(self._service.alerts, latitude, longitude, now)
        return self._watch.through(_point(latitude, longitude), now, ask)

    def refuses(self, latitude: float, longitude: float, now: datetime) -> bool:
        return self._watch.refuses(_point(latitude, longitude), now)

    def _possible(
        self, latitude: float, longitude: float, now: datetime, ask: Callable[[], AirSeries]
    ) -> AirSeries:
        """The answer, if that place can have such weather at that time of the year."""

        def looked_at() -> AirSeries:
            air = ask()
            if wrong := plausible.impossible(air, latitude, longitude):
                raise refused(self.name, f"not believed: {wrong}")
            return air

        return self._watch.through(_point(latitude, longitude), now, looked_at)


def _resting(health: Health) -> str:
    return (
        f"not asked before {health.rests_until:%H:%M} UTC,"
        f" after {health.failures} failures in a row; the last: {health.words}"
    )


def _point(latitude: float, longitude: float) -> Point:
    return round(latitude, 3), round(longitude, 3)
