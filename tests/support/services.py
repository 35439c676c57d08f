"""Weather services whose answers a test sets, to watch which of them is asked and believed."""

from datetime import datetime, timedelta

import numpy as np

from models.air.series import AirSeries
from models.errors import WeatherUnavailable
from service.weather.provider import WeatherAlert


class Warner:
    """Official alerts of the tests; `error` is what is said instead of them."""

    name, attribution = "warner", "none"

    def __init__(self) -> None:
        self.error: Exception | None = None
        self.asked = 0

    def alerts(self, latitude: float, longitude: float, now: datetime) -> tuple[WeatherAlert, ...]:
        del latitude, longitude
        self.asked += 1
        if self.error is not None:
            raise self.error
        ends = now + timedelta(hours=9)
        return (WeatherAlert("1", "Freeze Warning", "frost", "", "", "", now, ends, "", ""),)


class Service:
    """A weather service of the tests; `error` is what it says instead of weather."""

    def __init__(self, name: str) -> None:
        self.name, self.attribution = name, f"Credit: {name}"
        self.error: Exception | None = None
        self.asked: list[tuple[float, float]] = []
        self.air_C, self.dew_C, self.age = 1.0, 1.0, timedelta(0)

    def down(self, reason: str, wait_s: float | None = 900.0) -> None:
        self.error = WeatherUnavailable(self.name, reason, wait_s)

    def forecast(
        self, latitude: float, longitude: float, now: datetime, _altitude_m: float | None = None
    ) -> AirSeries:
        self.asked.append((latitude, longitude))
        if self.error is not None:
            raise self.error
        same = np.ones(48)
        start = now.replace(minute=0)
        source = f"{self.name} forecast"
        air, dew, issued = self.air_C * same, self.dew_C * same, now - self.age
        return AirSeries(start, air, dew, same, same, same, same, issued, source)

    def record(
        self, latitude: float, longitude: float, begin: datetime, end: datetime, now: datetime
    ) -> AirSeries:
        del begin, end
        return self.forecast(latitude, longitude, now)
