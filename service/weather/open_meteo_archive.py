"""Open-Meteo's archive: the hours of days gone by, for a pour that was logged weeks late.

Its answers have the shape of the forecast's. The last days are missing until the reanalysis has
reached them; the forecast's own past days bridge those.
"""

import logging
from datetime import UTC, datetime, timedelta

from models.air.series import HOUR, AirSeries
from models.errors import WeatherUnavailable
from models.units import aware, number_within
from service.weather import answer, open_meteo
from service.weather.http import Caller, checked_address

NAME = "Open-Meteo archive"
BASE_URL = "https://archive-api.open-meteo.com"
LONGEST = timedelta(days=370)
LAYERS = tuple(layer.theirs for ours, layer in open_meteo.LAYERS.items() if ours != "rain_chance")

log = logging.getLogger(__name__)


class OpenMeteoArchive:
    """The archive of that service, or one's own server of the same shape."""

    name = NAME
    attribution = open_meteo.ATTRIBUTION

    def __init__(
        self, caller: Caller | None = None, base_url: str = BASE_URL, key: str = ""
    ) -> None:
        self._caller = caller or Caller()
        self._key = open_meteo.key_parameter(key)
        self._url = checked_address("archive_url", base_url) + "/v1/archive"

    def record(
        self, latitude: float, longitude: float, begin: datetime, end: datetime, now: datetime
    ) -> AirSeries:
        """The whole days (UTC) of `begin` to `end`, as far as the archive has them."""
        point = tuple(
            answer.wire_degrees(number_within(name, value, -most, most, "degrees"))
            for name, value, most in (("latitude", latitude, 90.0), ("longitude", longitude, 180.0))
        )
        first, last = aware("begin", begin), min(aware("end", end), aware("now", now))
        if not timedelta(0) <= last - first <= LONGEST:
            asked = f"asked for {first.isoformat()} to {last.isoformat()}"
            raise WeatherUnavailable(NAME, f"{asked}, at most {LONGEST.days} days", None)
        parameters = {
            "latitude": point[0],
            "longitude": point[1],
            "start_date": f"{first.astimezone(UTC):%Y-%m-%d}",
            "end_date": f"{last.astimezone(UTC):%Y-%m-%d}",
            "hourly": ",".join(LAYERS),
            "temperature_unit": "celsius",
            "wind_speed_unit": "ms",
            "precipitation_unit": "mm",
            "timeformat": "iso8601",
            "timezone": "GMT",
            **self._key,
        }
        body = self._caller.get_copy(NAME, self._url, parameters, now, open_meteo.explain).body
        try:
            return self._read(body, point, now)
        except WeatherUnavailable as error:  # the reader speaks in the name of the forecast
            raise WeatherUnavailable(NAME, error.reason, error.retry_after_s) from None

    @staticmethod
    def _read(body: bytes, point: tuple[str, ...], now: datetime) -> AirSeries:
        document = open_meteo.opened(body)
        open_meteo.must_be_near(document, float(point[0]), float(point[1]))
        start, columns, notes = open_meteo.hours_of(
            document, round((LONGEST + 2 * 24 * HOUR) / HOUR)
        )
        for note in notes[:5]:
            log.info("%s: %s", NAME, note)
        end = start + len(columns["air_C"]) * HOUR
        return AirSeries(start=start, issued_at=min(end, now), source=NAME, **columns)
