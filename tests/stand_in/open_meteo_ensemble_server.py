"""A loopback server that answers as Open-Meteo's ensemble does, with faults on order.

Shape after the service's documentation: a column for each variable and member, the control run
without a suffix, `_member01` and so on in two digits, and the model's name behind them when more
than one model is asked for; null beyond a model's reach; an unknown model is a 400. The members
are the record of 2013 with first-order errors laid on it, one seed a member, that grow with lead.
"""

import json
import math
import random
import threading
from collections import deque
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qsl, urlsplit

from tests.support.raw import Json, JsonDict

HOUR = timedelta(hours=1)
Record = Mapping[datetime, Mapping[str, float]]
# name -> members with the control, reach in hours (as on the service's page)
# names under which some are answered that are asked for under another
ANSWERED_AS = {"icon_seamless": "icon_seamless_eps", "ecmwf_ifs025": "ecmwf_ifs025_ensemble"}
MODELS = {
    "icon_seamless": (40, 180),
    "ecmwf_ifs025": (51, 240),
    "ncep_gefs025": (31, 240),
    "dwd_icon_seamless_eps": (40, 180),
    "cmc_gem_geps": (21, 384),
}
VARIABLES = {
    "temperature_2m": ("air_C", "°C", 1),
    "dew_point_2m": ("dew_point_C", "°C", 1),
    "wind_speed_10m": ("wind_m_s", "m/s", 2),
    "precipitation": ("rain_mm", "mm", 2),
    "cloud_cover": ("cloud_pct", "%", 0),
}
NEEDED = {"latitude", "longitude", "hourly", "models"}
KNOWN = NEEDED | {
    "temperature_unit",
    "wind_speed_unit",
    "precipitation_unit",
    "timeformat",
    "timezone",
    "forecast_days",
}


@dataclass
class Fault:
    """What goes wrong with one answer; `edit` changes the document, `change` its bytes."""

    status: int = 200
    reason: str = "Something went wrong."
    edit: Callable[[JsonDict], object] | None = None
    change: Callable[[bytes], bytes] | None = None


class EnsembleStandIn:
    """Set `now` and `spread_K` (at a day's lead), order faults, read `queries`."""

    def __init__(self, records: Mapping[tuple[float, float], Record], now: datetime) -> None:
        self.records, self.now = records, now
        self.spread_K = 1.0
        self.queries: list[dict[str, str]] = []
        self._faults: deque[Fault] = deque()
        self._server = _Server(("127.0.0.1", 0), _Handler)
        self._server.stand_in = self
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.02,))

    @property
    def base_url(self) -> str:
        return f"http://127.0.0.1:{self._server.server_address[1]}"

    def next_answers(self, *faults: Fault) -> None:
        self._faults.extend(faults)

    def answer(self, path: str, query: dict[str, str]) -> tuple[int, bytes]:
        self.queries.append(query)
        fault = self._faults.popleft() if self._faults else Fault()
        status, document = self._document(path, query, fault)
        if fault.edit is not None:
            edited = fault.edit(document)
            document = document if edited is None else edited
        body = json.dumps(document, ensure_ascii=False).encode()
        return status, fault.change(body) if fault.change else body

    def _document(self, path: str, query: dict[str, str], fault: Fault) -> tuple[int, Json]:
        if path != "/v1/ensemble":
            return 404, {"error": True, "reason": "Not Found"}
        if fault.status != 200:
            return fault.status, {"error": True, "reason": fault.reason}
        wrong = _wrong(query)
        if wrong:
            return 400, {"error": True, "reason": wrong}
        north, east = float(query["latitude"]), float(query["longitude"])
        site = min(self.records, key=lambda s: math.hypot(s[0] - north, s[1] - east))
        models = query["models"].split(",")
        today = self.now.replace(hour=0, minute=0, second=0, microsecond=0)
        times = [today + k * HOUR for k in range(24 * int(query["forecast_days"]))]
        columns, units = {}, {}
        for variable in query["hourly"].split(","):
            for model in models:
                for member in range(MODELS[model][0]):
                    name = variable + (f"_member{member:02}" if member else "")
                    name += f"_{ANSWERED_AS.get(model, model)}" if len(models) > 1 else ""
                    columns[name] = self._column(site, variable, model, member, times)
                    units[name] = VARIABLES[variable][1]
        return 200, {
            "latitude": round(site[0], 2),
            "longitude": round(site[1], 2),
            "generationtime_ms": 1.4,
            "utc_offset_seconds": 0,
            "timezone": "GMT",
            "timezone_abbreviation": "GMT",
            "elevation": 5.0,
            "hourly_units": {"time": "iso8601", **units},
            "hourly": {"time": [f"{at:%Y-%m-%dT%H:%M}" for at in times], **columns},
        }

    def _column(
        self,
        site: tuple[float, float],
        variable: str,
        model: str,
        member: int,
        times: list[datetime],
    ) -> list[float | None]:
        ours, _, digits = VARIABLES[variable]
        before = HOUR if variable == "precipitation" else timedelta(0)
        noise = random.Random(f"{model} {member} {self.now:%Y-%m-%dT%H}")
        off = noise.gauss(0.0, 1.0)
        column: list[float | None] = []
        for at in times:
            off = 0.94 * off + math.sqrt(1 - 0.94**2) * noise.gauss(0.0, 1.0)
            lead_h = (at - self.now) / HOUR
            told = self.records[site].get(at - before, {}).get(ours)
            if told is None or lead_h > MODELS[model][1]:
                column.append(None)
                continue
            if digits == 1:  # degrees
                told += self.spread_K * min(max(lead_h, 0.0) / 24, 2.0) * off
            column.append(round(told, digits) if digits else round(told))
        return column


@contextmanager
def serving(
    records: Mapping[tuple[float, float], Record], now: datetime
) -> Iterator[EnsembleStandIn]:
    stand_in = EnsembleStandIn(records, now)
    stand_in._thread.start()
    try:
        yield stand_in
    finally:
        stand_in._server.shutdown()
        stand_in._server.server_close()
        stand_in._thread.join()


def _wrong(query: dict[str, str]) -> str:
    """The reason of a 400, empty when the query is right (wording invented)."""
    if unknown := set(query) - KNOWN:
        return f"unknown parameter {sorted(unknown)[0]}"
    if missing := NEEDED - set(query):
        return f"parameter {sorted(missing)[0]} is required"
    if unknown := set(query["models"].split(",")) - set(MODELS):
        return f"unknown model {sorted(unknown)[0]}"
    if unknown := set(query["hourly"].split(",")) - set(VARIABLES):
        return f"unknown variable {sorted(unknown)[0]}"
    if not 0 < int(query.get("forecast_days", "7")) <= 36:
        return "forecast_days is out of range"
    if query.get("wind_speed_unit") != "ms":
        return "this stand-in speaks metres a second only"
    return ""


class _Server(ThreadingHTTPServer):
    daemon_threads = False
    stand_in: EnsembleStandIn


class _Handler(BaseHTTPRequestHandler):
    server: _Server

    def do_GET(self) -> None:
        parts = urlsplit(self.path)
        query = dict(parse_qsl(parts.query, keep_blank_values=True))
        status, body = self.server.stand_in.answer(parts.path, query)
        self.send_response(status)
        self.send_header("Content-Type", "application/json; charset=utf-8")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: object) -> None:
        """Quiet: what came in is kept in `queries`."""
