"""A loopback server that answers as Open-Meteo's forecast does, with faults on order.

Other services, or more of this one, join it as further `routes` (nws_shape.py,
met_norway_shape.py): callables that get the server, the request and the status that a test has
ordered, and give status, headers and document, or None when the path is not theirs.

Shape and semantics follow the service's documentation: times without zone under one offset,
amounts and means for the hour before, null for what is missing, numbers rounded by unit, whole
days from 00:00, {"error": true, "reason": ...} under 400 and 429. The forecast is the record
itself (a perfect one), or the record with an error that grows from `now` on.
"""

import json
import math
import random
import re
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qsl, urlsplit
from zoneinfo import ZoneInfo

from tests.support.raw import Json, JsonDict

HOUR = timedelta(hours=1)
Row = Mapping[str, float]  # air_C, dew_point_C, rh_pct, wind_m_s, rain_mm, cloud_pct
Record = Mapping[datetime, Row]  # by whole hour, UTC

UNITS: dict[str, str | dict[str, str]] = {
    "temperature_2m": {"celsius": "°C", "fahrenheit": "°F"},
    "dew_point_2m": {"celsius": "°C", "fahrenheit": "°F"},
    "relative_humidity_2m": "%",
    "wind_speed_10m": {"kmh": "km/h", "ms": "m/s", "mph": "mp/h", "kn": "kn"},
    "precipitation": {"mm": "mm", "inch": "inch"},
    "precipitation_probability": "%",
    "cloud_cover": "%",
    "shortwave_radiation": "W/m²",
}
CHOICE = {
    "temperature_2m": ("temperature_unit", "celsius"),
    "dew_point_2m": ("temperature_unit", "celsius"),
    "wind_speed_10m": ("wind_speed_unit", "kmh"),
    "precipitation": ("precipitation_unit", "mm"),
}
PER_METRE_A_SECOND = {"km/h": 3.6, "m/s": 1.0, "mp/h": 2.236936, "kn": 1.943844}
KNOWN = {
    "latitude",
    "longitude",
    "hourly",
    "temperature_unit",
    "wind_speed_unit",
    "precipitation_unit",
    "timeformat",
    "timezone",
    "past_days",
    "forecast_days",
}


@dataclass
class Fault:
    """What goes wrong with one answer; everything left out goes right.

    edit : changes the document before it is written
    change : changes the written bytes
    cut_to : bytes that are sent of those that the length header promises
    wait_for : the answer is held back until this is set
    """

    status: int = 200
    headers: dict[str, str] = field(default_factory=dict)
    edit: Callable[[JsonDict], object] | None = None
    change: Callable[[bytes], bytes] | None = None
    cut_to: int | None = None
    drip_s: float = 0.0
    hang_up: bool = False
    wait_for: threading.Event | None = None


@dataclass(frozen=True)
class Request:
    path: str
    query: dict[str, str]
    headers: dict[str, str]


Answer = tuple[int, Mapping[str, str], Json]  # a document of type str is sent as it is
Route = Callable[["StandIn", Request, int], Answer | None]


@dataclass
class ForecastError:
    """Error of the forecast in temperature: e(k+1) = phi e(k) + noise, from `now` on."""

    noise_K: float = 0.6
    phi: float = 0.93
    seed: int = 1


class StandIn:
    """The server: set `now`, order faults with `fail_next`, read what came in `requests`."""

    path = "/v1/forecast"

    def __init__(self, records: Mapping[tuple[float, float], Record], now: datetime) -> None:
        self.records = records
        self.now = now
        self.error: ForecastError | None = None
        self.requests: list[Request] = []
        self.routes: list[Route] = [forecast]
        self._faults: list[tuple[str, Fault]] = []
        self._lock = threading.Lock()
        self._server = _Server(("127.0.0.1", 0), _Handler)
        self._server.stand_in = self
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.02,))

    @property
    def base_url(self) -> str:
        return f"http://127.0.0.1:{self._server.server_address[1]}"

    def next_answers(self, *faults: Fault) -> None:
        """What goes wrong with the next answers, whatever is asked."""
        self.fail_next("", *faults)

    def fail_next(self, where: str, *faults: Fault) -> None:
        """What goes wrong with the next answers to paths in which the pattern `where` is found."""
        self._faults += [(where, fault) for fault in faults]

    def taken(self, request: Request) -> Fault:
        with self._lock:
            self.requests.append(request)
            for k, (where, fault) in enumerate(self._faults):
                if re.search(where, request.path):
                    del self._faults[k]
                    return fault
        return Fault()

    def answer(self, request: Request, status: int) -> Answer:
        told = (route(self, request, status) for route in self.routes)
        found = next((one for one in told if one is not None), None)
        return found or (404, {}, {"error": True, "reason": "Not Found"})

    def wrong(self, query: dict[str, str]) -> str:
        return _wrong(query)

    def start(self) -> "StandIn":
        self._thread.start()
        return self

    def stop(self) -> None:
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()

    def document(self, query: Mapping[str, str]) -> JsonDict | list[JsonDict]:
        """The answer to a checked query; several points give a list."""
        answers = self._answers(query)
        return answers[0] if len(answers) == 1 else answers

    def _answers(self, query: Mapping[str, str]) -> list[JsonDict]:
        norths = [float(v) for v in query["latitude"].split(",")]
        easts = [float(v) for v in query["longitude"].split(",")]
        return [self._one(n, e, query) for n, e in zip(norths, easts, strict=True)]

    def _one(self, north: float, east: float, query: Mapping[str, str]) -> JsonDict:
        site = min(self.records, key=lambda s: math.hypot(s[0] - north, s[1] - east))
        zone = ZoneInfo(query.get("timezone", "GMT"))
        offset = self.now.astimezone(zone).utcoffset() or timedelta(0)  # one for all rows
        today = (self.now + offset).replace(hour=0, minute=0, second=0, microsecond=0) - offset
        first = today - timedelta(days=int(query.get("past_days", "0")))
        hours = 24 * (int(query.get("past_days", "0")) + int(query.get("forecast_days", "7")))
        times = [first + k * HOUR for k in range(hours)]
        unix = query.get("timeformat") == "unixtime"
        names = query["hourly"].split(",")
        units = {name: _unit(name, query) for name in names}
        off = self.errors(times)
        columns = {
            name: [
                _value(name, units[name], self.records[site], at, off.get(at, 0.0)) for at in times
            ]
            for name in names
        }
        stamps = [int(at.timestamp()) if unix else f"{at + offset:%Y-%m-%dT%H:%M}" for at in times]
        return {
            "latitude": round(site[0], 2),
            "longitude": round(site[1], 2),
            "generationtime_ms": 0.2,
            "utc_offset_seconds": int(offset.total_seconds()),
            "timezone": zone.key,
            "timezone_abbreviation": zone.key,
            "elevation": 5.0,
            "hourly_units": {"time": "unixtime" if unix else "iso8601", **units},
            "hourly": {"time": stamps, **columns},
        }

    def errors(self, times: list[datetime]) -> dict[datetime, float]:
        """By how much the forecast is off at each time after `now` [K]."""
        if self.error is None:
            return {}
        noise = random.Random(f"{self.error.seed} {self.now.isoformat()}")
        off, errors = 0.0, {}
        for at in times:
            if at > self.now:
                off = self.error.phi * off + noise.gauss(0.0, self.error.noise_K)
                errors[at] = off
        return errors


@contextmanager
def serving(records: Mapping[tuple[float, float], Record], now: datetime) -> Iterator[StandIn]:
    stand_in = StandIn(records, now).start()
    try:
        yield stand_in
    finally:
        stand_in.stop()


def forecast(server: StandIn, request: Request, status: int) -> Answer | None:
    """The route of Open-Meteo's forecast, or of what a server of its shape has in its place."""
    if request.path != server.path:
        return None
    if status >= 300:
        return status, {}, {"error": True, "reason": "Something went wrong."}
    if reason := server.wrong(request.query):
        return 400, {}, {"error": True, "reason": reason}
    return status, {}, server.document(request.query)


def _unit(name: str, query: Mapping[str, str]) -> str:
    unit = UNITS[name]
    if isinstance(unit, str):
        return unit
    key, default = CHOICE[name]
    return unit[query.get(key, default)]


def _value(name: str, unit: str, record: Record, at: datetime, off_K: float) -> float | None:
    now, before = record.get(at, {}), record.get(at - HOUR, {})
    if name in ("temperature_2m", "dew_point_2m"):
        told = now.get("air_C" if name == "temperature_2m" else "dew_point_C")
        degrees = None if told is None else told + off_K
        if degrees is not None and unit == "°F":
            degrees = degrees * 1.8 + 32.0
        return _rounded(degrees, 1)
    if name == "wind_speed_10m":
        told = now.get("wind_m_s")
        return _rounded(None if told is None else told * PER_METRE_A_SECOND[unit], 2)
    if name == "precipitation":
        told = before.get("rain_mm")
        scale = 25.4 if unit == "inch" else 1.0
        return _rounded(None if told is None else told / scale, 3 if unit == "inch" else 2)
    if name == "precipitation_probability":
        told = before.get("rain_mm")
        return None if told is None else (100 if told > 0.1 else 0)
    if name == "shortwave_radiation":
        return _rounded(before.get("shortwave_W_m2"), 1)
    told = now.get("rh_pct" if name == "relative_humidity_2m" else "cloud_pct")
    return None if told is None else round(told)


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None or not math.isfinite(value) else round(value, digits)


def _wrong(query: dict[str, str]) -> str:
    """The reason of a 400, empty when the query is right (wording invented)."""
    if unknown := set(query) - KNOWN:
        return f"unknown parameter {sorted(unknown)[0]}"
    for name, most in (("latitude", 90.0), ("longitude", 180.0)):
        try:
            numbers = [float(v) for v in query[name].split(",")]
        except (KeyError, ValueError):
            return f"parameter {name} is required and must be a number"
        if any(not abs(number) <= most for number in numbers):
            return f"{name} is out of range"
    for name, most_days in (("past_days", 92), ("forecast_days", 16)):
        days = query.get(name, "0")
        if not days.isdigit() or int(days) > most_days:
            return f"{name} is out of range"
    if unknown := set(query.get("hourly", "").split(",")) - set(UNITS):
        return f"unknown variable {sorted(unknown)[0]}"
    return ""


class _Server(ThreadingHTTPServer):
    daemon_threads = False
    stand_in: StandIn

    def handle_error(self, request: object, client_address: object) -> None:
        """A client that hangs up on a huge or slow answer is part of the tests."""


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: _Server

    def do_GET(self) -> None:
        parts = urlsplit(self.path)
        query = dict(parse_qsl(parts.query, keep_blank_values=True))
        stand_in = self.server.stand_in
        request = Request(parts.path, query, dict(self.headers.items()))
        fault = stand_in.taken(request)
        if fault.wait_for is not None:
            fault.wait_for.wait(30.0)
        self.close_connection = True
        if fault.hang_up:
            return
        status, headers, document = stand_in.answer(request, fault.status)
        if fault.edit is not None:
            edited = fault.edit(document)
            document = document if edited is None else edited
        text = document if isinstance(document, str) else json.dumps(document, ensure_ascii=False)
        body = text.encode()
        if fault.change is not None:
            body = fault.change(body)
        self._send(status, headers, fault, body)

    def _send(self, status: int, headers: Mapping[str, str], fault: Fault, body: bytes) -> None:
        self.send_response_only(status)
        usual = {
            "Date": format_datetime(self.server.stand_in.now.astimezone(UTC), usegmt=True),
            "Content-Type": "application/json; charset=utf-8",
        }
        for name, value in (usual | dict(headers) | fault.headers).items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Connection", "close")
        self.end_headers()
        sent = body if fault.cut_to is None else body[: fault.cut_to]
        if not fault.drip_s:
            self.wfile.write(sent)
            return
        for k in range(len(sent)):
            self.wfile.write(sent[k : k + 1])
            threading.Event().wait(fault.drip_s)

    def log_message(self, format: str, *args: object) -> None:
        """Quiet: what came in is kept in `requests`."""


def utc(text: str) -> datetime:
    """An instant of a test, from ISO 8601 with offset."""
    return datetime.fromisoformat(text).astimezone(UTC)
