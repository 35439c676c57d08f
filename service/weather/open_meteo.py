"""Open-Meteo's forecast: hourly, anywhere, with the past days before it.

Its answers carry times without zone and one offset for the whole answer, amounts and means for
the hour BEFORE the time beside them, and units as text. None of the three is taken for granted.
"""

import logging
import re
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from models.air.series import HOUR, AirSeries
from models.errors import InputError
from models.instants import aware
from models.units import Array
from service.weather import answer
from service.weather.answer import Columns, Frame
from service.weather.http import Caller, Refusal, checked_address, read_json
from service.weather.in_flight import InFlight

NAME = "Open-Meteo"
ATTRIBUTION = "Weather data by Open-Meteo.com (CC BY 4.0)"
BASE_URL = "https://api.open-meteo.com"
# hosts that are free without a key, for non-commercial use; with one the same names behind
# "customer-" answer (open-meteo.com/en/pricing)
FREE_HOSTS = ("api.open-meteo.com", "archive-api.open-meteo.com", "ensemble-api.open-meteo.com")
TERMS = (
    "Its free service is for non-commercial use; a shop that sells needs a key of its own"
    " (CASTCLOCK_OPEN_METEO_KEY)"
)
PAST_DAYS = 10  # a pour is often logged days after it; 92 is the most the service gives
FORECAST_DAYS = 16
LONGEST_ANSWER_H = 24 * (92 + 16 + 2)  # the most that the service gives, and a day at each end

LAYERS = {
    "air_C": answer.Layer("temperature_2m", answer.CELSIUS),
    "dew_point_C": answer.Layer("dew_point_2m", answer.CELSIUS),
    "rh_fraction": answer.Layer("relative_humidity_2m", answer.FRACTION),
    "wind_m_s": answer.Layer("wind_speed_10m", answer.METRES_A_SECOND),
    "rain_mm": answer.Layer("precipitation", answer.MILLIMETRES, of_a_span=True),
    "rain_chance": answer.Layer("precipitation_probability", answer.FRACTION, of_a_span=True),
    "cloud_fraction": answer.Layer("cloud_cover", answer.FRACTION),
    "shortwave_W_m2": answer.Layer("shortwave_radiation", answer.WATTS, of_a_span=True),
}
NOT_A_MODEL = re.compile(r"_(member\d+|previous_day\d+|spread)(_|$)")

log = logging.getLogger(__name__)


class Endpoint:
    """One address of the service, or of a server of the same shape, asked for hourly layers.

    setting : the name of the base address in errors
    name : who is asked, in errors
    """

    def __init__(
        self, caller: Caller | None, base_url: str, path: str, key: str, setting: str, name: str
    ) -> None:
        self._caller = caller or Caller()
        self._key = key_parameter(key)
        self._url = checked_address(setting, base_url) + path
        self._name = name

    def get(
        self, point: tuple[str, str], layers: Iterable[str], more: Mapping[str, str], now: datetime
    ) -> tuple[dict[str, Any], datetime]:
        """The answer for a point, in our units and UTC, and when it came."""
        parameters = {
            "latitude": point[0],
            "longitude": point[1],
            "hourly": ",".join(LAYERS[name].theirs for name in layers),
            "temperature_unit": "celsius",
            "wind_speed_unit": "ms",
            "precipitation_unit": "mm",
            "timeformat": "iso8601",
            "timezone": "GMT",
            **more,
            **self._key,
        }
        copy = self._caller.get_copy(self._name, self._url, parameters, now, explain)
        document = opened(copy.body, self._name)
        place = (document.get("latitude"), document.get("longitude"))
        answer.must_be_near(self._name, place, (float(point[0]), float(point[1])))
        return document, copy.came_at


class OpenMeteo:
    """The forecast service of that name, or one's own server of the same shape."""

    name = NAME
    attribution = ATTRIBUTION

    def __init__(
        self, caller: Caller | None = None, base_url: str = BASE_URL, key: str = ""
    ) -> None:
        self._endpoint = Endpoint(caller, base_url, "/v1/forecast", key, "base_url", NAME)
        self._in_flight: InFlight[AirSeries] = InFlight()

    def forecast(
        self, latitude: float, longitude: float, now: datetime, altitude_m: float | None = None
    ) -> AirSeries:
        """The past days and the coming ones; WeatherUnavailable when there is no usable answer."""
        point, requested_at = answer.wire_point(latitude, longitude), aware("now", now)
        return self._in_flight.ask(point, lambda: self._ask(point, requested_at))

    def _ask(self, point: tuple[str, str], now: datetime) -> AirSeries:
        days = {"past_days": str(PAST_DAYS), "forecast_days": str(FORECAST_DAYS)}
        document, came_at = self._endpoint.get(point, LAYERS, days, now)
        series, notes = read(document, came_at)
        for note in notes:
            log.warning("%s at %s: %s", NAME, ", ".join(point), note)
        return series


def key_parameter(key: str) -> dict[str, str]:
    """What a customer sends with every question; nothing without a key. It is never shown."""
    if not re.fullmatch(r"[\x21-\x7e]{0,200}", key):
        wrong, allowed = "cannot be a key", "the key as Open-Meteo gave it, without spaces"
        raise InputError("open_meteo_key", "...", wrong, allowed)
    return {"apikey": key} if key else {}


def for_customers(address: str, key: str) -> str:
    """The customers' address in place of the free one, where there is a key."""
    for host in FREE_HOSTS if key else ():
        if address.rstrip("/") == f"https://{host}":
            return f"https://customer-{host}"
    return address


def opened(raw: bytes, provider: str = NAME) -> dict[str, Any]:
    document = answer.document(provider, raw)
    if document.get("error"):
        reason = str(document.get("reason", ""))[:200]
        raise answer.refused(provider, f"an error in place of weather: {reason}")
    return document


def read(document: dict[str, Any], fetched_at: datetime) -> tuple[AirSeries, list[str]]:
    """The forecast of an answer, and what was left out of it, in words.

    The service does not say when its forecast was made, so the time of fetching stands for it. A
    copy of an older answer shows by its first day: answers begin PAST_DAYS before today.
    Raises WeatherUnavailable when it cannot serve.
    """
    notes: list[str] = []
    frame, columns = columns_of(document, LONGEST_ANSWER_H, NAME, notes)
    issued_at = min(fetched_at, frame.start + timedelta(days=PAST_DAYS + 1))
    return answer.air_series(NAME, frame, columns, issued_at, fetched_at, notes), notes


def columns_of(
    document: dict[str, Any], longest_h: int, provider: str, notes: list[str]
) -> tuple[Frame, Columns]:
    """The hours of an answer, and our columns on them."""
    hourly, units, start, rows = sections(document, longest_h, provider)
    suffix = _model_suffix(hourly)
    columns = {ours: column_of(hourly, units, ours, suffix, rows, notes) for ours in LAYERS}
    return Frame(start, int(rows[-1]) + 1), columns


def sections(
    document: dict[str, Any], longest_h: int = LONGEST_ANSWER_H, provider: str = NAME
) -> tuple[dict[str, Any], dict[str, Any], datetime, NDArray[np.int_]]:
    """The hourly section, its units, its first hour, and the hours after that of all its times."""
    hourly, units = document.get("hourly"), document.get("hourly_units")
    if not isinstance(hourly, dict) or not isinstance(units, dict):
        raise answer.refused(provider, "the answer has no hourly section with units")
    stamps, offset = hourly.get("time"), document.get("utc_offset_seconds")
    if not isinstance(stamps, list) or not stamps:
        raise answer.refused(provider, "the answer has no times")
    if offset is None and document.get("timezone") in ("GMT", "UTC"):
        offset = 0
    if not answer.is_number(offset) or abs(offset) > 86400:
        raise answer.refused(provider, f"the answer's offset from UTC is {offset!r}")
    try:
        times = [_instant(one, units.get("time"), timedelta(seconds=offset)) for one in stamps]
    except (TypeError, ValueError, OverflowError, OSError):
        raise answer.refused(provider, "the answer's times cannot be read") from None
    return hourly, units, times[0], answer.whole_hours(provider, times, longest_h)


def _instant(stamp: object, unit: object, offset: timedelta) -> datetime:
    if unit == "unixtime":
        if not answer.is_number(stamp):
            raise TypeError(stamp)
        return datetime.fromtimestamp(float(stamp), UTC)
    if not isinstance(stamp, str):
        raise TypeError(stamp)
    at = datetime.fromisoformat(stamp)
    return (at - offset).replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)


def _model_suffix(hourly: dict[str, Any]) -> str:
    """Servers that were told which models to use put the model's name behind each variable."""
    plain = LAYERS["air_C"].theirs
    if plain in hourly:
        return ""
    named = [key.removeprefix(plain) for key in hourly if key.startswith(f"{plain}_")]
    named = [suffix for suffix in named if not NOT_A_MODEL.search(suffix)]
    return named[0] if len(named) == 1 else ""


def column_of(
    hourly: dict[str, Any],
    units: dict[str, Any],
    ours: str,
    suffix: str,
    rows: NDArray[np.int_],
    notes: list[str],
) -> Array:
    """One layer on the grid of whole hours, in our unit; all missing when not understood."""
    layer = LAYERS[ours]
    key = layer.theirs + suffix
    column = np.full(int(rows[-1]) + 1, np.nan)
    values, unit = hourly.get(key), units.get(key)
    if values is None:
        notes.append(f"{key}: not in the answer")
        return column
    if not isinstance(values, list) or len(values) > len(rows):
        notes.append(f"{key}: its values do not fit the times, left out")
        return column
    limits = answer.LIMITS[ours]
    converted = answer.in_our_unit(key, values, unit, layer.units, limits, notes)
    if layer.of_a_span:
        gaps = np.diff(rows[: len(converted)]) != 1
        converted[1:][gaps] = np.nan  # of how many hours, nobody said
    column[rows[: len(converted)]] = converted
    if layer.of_a_span:  # of the hour before the time beside it
        column = np.append(column[1:], np.nan)
    return column


def explain(status: int, body: bytes, now: datetime) -> Refusal:
    """Error bodies are {"error": true, "reason": "..."}; only the three limits are told apart."""
    try:
        reason = str(answer.part(read_json(body)).get("reason", ""))
    except ValueError:
        reason = "no reason given"
    if status != 429:
        return Refusal(reason, None)
    hour = now.replace(minute=0, second=0, microsecond=0)
    ends = {
        "dai": hour.replace(hour=0) + timedelta(days=1),
        "hour": hour + HOUR,
        "minut": now + timedelta(minutes=1),
    }
    limit = next((word for word in ends if word in reason.lower()), None)
    return Refusal(reason, (ends[limit] - now).total_seconds() if limit else None)
