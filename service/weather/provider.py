"""What every weather service looks like from inside: a name, a credit line, one question."""

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
