"""Open-Meteo's archive: the hours of days gone by, for a pour that was logged weeks late.

Its answers have the shape of the forecast's. The last days are missing until the reanalysis has
reached them; the forecast's own past days bridge those.
"""

import logging
from datetime import UTC, datetime, timedelta

from models.air.series import HOUR, AirSeries
from models.errors import WeatherUnavailable
from models.instants import aware
from service.weather import answer, open_meteo
from service.weather.http import Caller

NAME = "Open-Meteo archive"
BASE_URL = "https://archive-api.open-meteo.com"
LONGEST = timedelta(days=370)
LAYERS = tuple(name for name in open_meteo.LAYERS if name != "rain_chance")

log = logging.getLogger(__name__)


class OpenMeteoArchive:
    """The archive of that service, or one's own server of the same shape."""

    name = NAME
    attribution = open_meteo.ATTRIBUTION

    def __init__(
        self, caller: Caller | None = None, base_url: str = BASE_URL, key: str = ""
    ) -> None:
        self._endpoint = open_meteo.Endpoint(
            caller, base_url, "/v1/archive", key, "archive_url", NAME
        )

    def record(
        self, latitude: float, longitude: float, begin: datetime, end: datetime, now: datetime
    ) -> AirSeries:
        """The whole days (UTC) of `begin` to `end`, as far as the archive has them."""
        point = answer.wire_point(latitude, longitude)
        first, last = aware("begin", begin), min(aware("end", end), aware("now", now))
        if not timedelta(0) <= last - first <= LONGEST:
            span = f"asked for {first.isoformat()} to {last.isoformat()}"
            raise WeatherUnavailable(NAME, f"{span}, at most {LONGEST.days} days", None)
        days = {
            "start_date": f"{first.astimezone(UTC):%Y-%m-%d}",
            "end_date": f"{last.astimezone(UTC):%Y-%m-%d}",
        }
        notes: list[str] = []
        document, _ = self._endpoint.get(point, LAYERS, days, now)
        frame, columns = open_meteo.columns_of(document, LONGEST // HOUR + 48, NAME, notes)
        clean, _ = answer.checked(NAME, columns, notes, live=False)
        for note in notes[:5]:
            log.info("%s: %s", NAME, note)
        end = frame.start + len(clean["air_C"]) * HOUR
        return AirSeries(start=frame.start, issued_at=min(end, now), source=NAME, **clean)
