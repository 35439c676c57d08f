"""What every weather service looks like from inside: a name, a credit line, one question.

Some also tell what is officially warned of.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol, runtime_checkable

from models.air.series import AirSeries


class Provider(Protocol):
    """A live weather service.

    name : as people know it
    attribution : the credit that must stand beside its numbers
    """

    @property
    def name(self) -> str: ...

    @property
    def attribution(self) -> str: ...

    def forecast(self, latitude: float, longitude: float, now: datetime) -> AirSeries:
        """The hours it can tell about, past and coming.

        Raises WeatherUnavailable(provider, reason, retry_after_s) without a usable answer;
        InputError on coordinates that are none.
        """
        ...


@runtime_checkable
class ByAltitude(Protocol):
    """A live weather service that corrects its temperatures by the altitude of the place."""

    def forecast_at(
        self, latitude: float, longitude: float, altitude_m: float, now: datetime
    ) -> AirSeries:
        """As `Provider.forecast`, for an altitude above the sea [m]."""
        ...


@runtime_checkable
class Archive(Protocol):
    """The weather of days gone by, further back than a forecast reaches."""

    @property
    def name(self) -> str: ...

    @property
    def attribution(self) -> str: ...

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


@runtime_checkable
class Several(Protocol):
    """Several services behind one name."""

    def forecasts(
        self,
        latitude: float,
        longitude: float,
        now: datetime,
        known: Known | None = None,
        altitude_m: float | None = None,
    ) -> tuple[AirSeries, ...]:
        """The answer that leads, then those that tell what it lacks.

        Raises WeatherUnavailable without a usable answer.
        """
        ...


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
class Warns(Protocol):
    """A service that tells what is officially warned of."""

    def alerts(self, latitude: float, longitude: float, now: datetime) -> tuple[WeatherAlert, ...]:
        """Alerts for the point that are not over, the soonest first.

        Raises WeatherUnavailable without a usable answer.
        """
        ...
