"""Several weather services asked in turn: the first whose answer serves is the one that leads.

Nothing is mixed: an answer is of one service and says of which. Where it is a day old, lacks
moisture or is contradicted, the next is asked as well.
"""

import logging
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from functools import partial
from typing import TypeVar

from models.air.series import AirSeries
from models.errors import WeatherUnavailable
from models.units import number_within
from service.weather import votes
from service.weather.health import Health, Watch, Watched
from service.weather.provider import Archive, Known, Provider, Service, Warns, WeatherAlert

Box = tuple[float, float, float, float]  # south, north, west, east; degrees

# rectangles around where a service is at home, from memory; a service refuses what lies outside
US: tuple[Box, ...] = (
    (24.3, 49.5, -125.0, -66.9),  # contiguous states
    (51.0, 71.6, -180.0, -129.9),  # Alaska
    (51.0, 53.2, 172.3, 180.0),  # western Aleutians
    (18.7, 22.4, -160.6, -154.6),  # Hawaii
    (17.5, 18.7, -67.4, -64.4),  # Puerto Rico, Virgin Islands
    (13.1, 20.7, 144.5, 146.2),  # Guam, Northern Marianas
    (-14.7, -11.0, -171.2, -168.0),  # American Samoa
)
NORDIC: tuple[Box, ...] = (
    (54.5, 71.3, 4.5, 31.6),  # Denmark to Finland
    (63.2, 66.6, -24.6, -13.4),  # Iceland
)
NWS, OPEN_METEO, MET_NORWAY = "nws", "open-meteo", "met-norway"
KEYS = (NWS, OPEN_METEO, MET_NORWAY)
AT_HOME: tuple[tuple[tuple[Box, ...], tuple[str, ...]], ...] = (
    (US, (NWS, OPEN_METEO, MET_NORWAY)),
    (NORDIC, (MET_NORWAY, OPEN_METEO)),
)
ELSEWHERE = (OPEN_METEO, MET_NORWAY)

S = TypeVar("S", bound=Service)
T = TypeVar("T")
log = logging.getLogger("castclock.weather")


def order_at(latitude: float, longitude: float) -> tuple[str, ...]:
    """Which services to ask at a point, first to last, when the owner has not said."""
    for boxes, order in AT_HOME:
        if any(s <= latitude <= n and w <= longitude <= e for s, n, w, e in boxes):
            return order
    return ELSEWHERE


class Chain:
    """A weather service made of several.

    services : all that could be asked, by key
    chosen : the owner's order; None: by region; empty: none is asked
    archive : hours of the past further back than forecasts reach
    warners : those of the services that also tell official alerts, by key; they are asked though
        the forecasts of the same service fail
    ensemble : of the members that come beside forecasts, where they are asked for
    """

    name = "weather services"

    def __init__(
        self,
        services: Mapping[str, Watched[Provider]],
        chosen: Sequence[str] | None = None,
        archive: Watched[Archive] | None = None,
        warners: Mapping[str, Watched[Warns]] | None = None,
        ensemble: Watch | None = None,
    ) -> None:
        self._services = dict(services)
        self._chosen = chosen
        self._archives = () if archive is None else (archive,)
        self._warners = dict(warners or {})
        self._ensembles = () if ensemble is None else (ensemble,)

    @property
    def attribution(self) -> str:
        """The credit of all that may answer; `credit` has that of those that did."""
        return " ".join(dict.fromkeys(one.attribution for one in self._in_use()))

    def forecast(
        self, latitude: float, longitude: float, now: datetime, altitude_m: float | None = None
    ) -> AirSeries:
        """The answer that leads, as `forecasts`."""
        return self.forecasts(latitude, longitude, now, altitude_m)[0]

    def forecasts(
        self,
        latitude: float,
        longitude: float,
        now: datetime,
        altitude_m: float | None = None,
        known: Known | None = None,
    ) -> tuple[AirSeries, ...]:
        """The answer of the first service that has one that serves, then what tells its moisture.

        One that refused the point comes last. Whatever goes wrong in one, the next is asked.
        Raises WeatherUnavailable without a usable answer.

        known : what the answers are held against; when nothing is known of a place yet, a second
            service is its witness. None: nobody wants them held against anything.
        altitude_m : of the place above the sea, for services that correct by it; None: not told
        """
        north = number_within("latitude", latitude, -90.0, 90.0, "degrees")
        east = number_within("longitude", longitude, -180.0, 180.0, "degrees")
        keys = order_at(north, east) if self._chosen is None else self._chosen
        turn = [self._services[key] for key in keys if key in self._services]
        turn.sort(key=lambda one: one.refuses(north, east, now))
        failures: list[WeatherUnavailable] = []
        answers: list[tuple[Watched[Provider], AirSeries]] = []
        for one in turn:
            try:
                ask = partial(one.forecast, north, east, now, altitude_m)
                answers.append((one, _whatever_goes_wrong(one, ask, now)))
            except WeatherUnavailable as error:
                failures.append(error)
                log.warning("%s", error)
                continue
            series = [air for _, air in answers]
            alone = known is not None and not votes.witnessed(known)
            if alone and not votes.agreed(series, now):
                continue
            if votes.enough(series, known or Known(), now):
                break
        if not answers:
            raise _none_answered(failures)
        series = [air for _, air in answers]
        trusted, doubted = votes.sorted_out(series, known or Known(), now)
        for k, why in doubted.items():
            log.warning("%s: %s", answers[k][0].name, why)
            failures.append(answers[k][0].doubted(why, now))
        if not trusted:
            raise _none_answered(failures)
        lead, *others = (series[k] for k in trusted)
        if votes.moist(lead, now):
            return (lead,)
        return (lead, *[air for air in others if votes.moist(air, now)][:1])

    def record(
        self, latitude: float, longitude: float, begin: datetime, end: datetime, now: datetime
    ) -> AirSeries:
        """The past from an archive; WeatherUnavailable for good where there is none."""
        for archive in self._archives:
            ask = partial(archive.record, latitude, longitude, begin, end, now)
            return _whatever_goes_wrong(archive, ask, now)
        raise WeatherUnavailable("weather archive", "none is asked", None)

    def alerts(self, latitude: float, longitude: float, now: datetime) -> tuple[WeatherAlert, ...]:
        """Official alerts of the first service at home there that tells any; else none."""
        keys = order_at(latitude, longitude) if self._chosen is None else self._chosen
        for key in keys:
            warner = self._warners.get(key)
            if warner is not None and not warner.refuses(latitude, longitude, now):
                ask = partial(warner.alerts, latitude, longitude, now)
                return _whatever_goes_wrong(warner, ask, now)
        return ()

    def credit(self, source: str) -> str:
        """The credit of the services that a source names."""
        every: list[Service] = [*self._services.values(), *self._archives]
        return " ".join(dict.fromkeys(one.attribution for one in every if one.name in source))

    def health(self) -> tuple[Health, ...]:
        """One look at each service that may be asked, in the order of asking."""
        warners = [self._warners[key] for key in self._keys() if key in self._warners]
        reads = [one.health for one in self._in_use()] + [one.health for one in warners]
        reads += [one.health for one in (*self._ensembles, *self._archives)]
        return tuple(read() for read in reads)

    def _in_use(self) -> list[Watched[Provider]]:
        return [self._services[key] for key in self._keys() if key in self._services]

    def _keys(self) -> Sequence[str]:
        return KEYS if self._chosen is None else self._chosen


def credit(weather: Provider, source: str) -> str:
    """The credit line that must stand beside numbers of this source."""
    return weather.credit(source) if isinstance(weather, Chain) else weather.attribution


def health(weather: Provider) -> tuple[Health, ...]:
    """How the services behind `weather` do; empty where nobody counts, as in the demo."""
    return weather.health() if isinstance(weather, Chain) else ()


def _whatever_goes_wrong(one: Watched[S], ask: Callable[[], T], now: datetime) -> T:
    """The answer; a bug or an answer of unknown shape is the failure of one service, not of all."""
    try:
        return ask()
    except WeatherUnavailable:
        raise
    except Exception as error:
        log.exception("%s", one.name)
        raise one.doubted("its answer could not be read", now) from error


def _none_answered(failures: Sequence[WeatherUnavailable]) -> WeatherUnavailable:
    if not failures:
        return WeatherUnavailable("weather", "this shop asks no weather service", None)
    if len(failures) == 1:
        return failures[0]
    waits = [one.retry_after_s for one in failures if one.retry_after_s is not None]
    reasons = "; ".join(str(one) for one in failures)
    return WeatherUnavailable("no service answered", reasons, min(waits) if waits else None)
