"""What every weather service looks like from inside: a name, a credit line, one question.

Some also tell what is officially warned of.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol, runtime_checkable

from models.air.series import AirSeries


class Service(Protocol):
    """Somebody who tells of the weather.

    name : as people know it
    attribution : the credit that must stand beside its numbers
    """

    @property
    def name(self) -> str: ...

    @property
    def attribution(self) -> str: ...


class Provider(Service, Protocol):
    """A live weather service."""

    def forecast(
        self, latitude: float, longitude: float, now: datetime, altitude_m: float | None = None
    ) -> AirSeries:
        """The hours it can tell about, past and coming.

        altitude_m : above the sea, for a service that corrects its temperatures by it; None: not
            known

        Raises WeatherUnavailable(provider, reason, retry_after_s) without a usable answer;
        InputError on coordinates that are none.
        """
        ...


@runtime_checkable
class Archive(Service, Protocol):
    """The weather of days gone by, further back than a forecast reaches."""

    def record(
        self, latitude: float, longitude: float, begin: datetime, end: datetime, now: datetime
    ) -> AirSeries:
        """Hours from `begin` to `end`, both of the past; its end is its time of issue.

        Raises WeatherUnavailable without a usable answer.
        """
        ...


@dataclass(frozen=True)
class Known:
    """What is known of the air of a place already, to hold a new answer against.

    earlier : what services told before, None where nothing that counts is left
    readings : instants and temperatures of a thermometer outdoors [degC]
    """

    earlier: AirSeries | None = None
    readings: tuple[tuple[datetime, float], ...] = ()


@dataclass(frozen=True)
class WeatherAlert:
    """One alert in the service's words.

    key : the service's own, one for each message
    about : frost | wind | heat | rain | snow | fire | other
    begins, ends : when what it warns of begins and ends; None when that was not told
    """

    key: str
    event: str
    about: str
    severity: str
    certainty: str
    urgency: str
    begins: datetime | None
    ends: datetime | None
    headline: str
    advice: str


@runtime_checkable
class Warns(Service, Protocol):
    """A service that tells what is officially warned of."""

    def alerts(self, latitude: float, longitude: float, now: datetime) -> tuple[WeatherAlert, ...]:
        """Alerts for the point that are not over, the soonest first.

        Raises WeatherUnavailable without a usable answer.
        """
        ...
