"""The US National Weather Service's answers, made from the record: a route of the stand-in.

Shape and manners follow its documentation and recorded answers: links to its own host, equal
neighbours of a layer merged, rain as totals of six hours, unit codes, RFC 7807 problems, long or
padded coordinates sent on, unknown parameters refused, 304 for an HTTP date only. All is invented.
"""

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from email.utils import parsedate_to_datetime
from zoneinfo import ZoneInfo

from tests.stand_in.open_meteo_server import Answer, Request, StandIn
from tests.support.http_date import http_date
from tests.support.raw import JsonDict

HOUR = timedelta(hours=1)
HOST, OFFICE = "https://api.weather.gov", "TST"
GRID_BACK_H, GRID_AHEAD_H = 8, 188
PERIODS = 156
QUERIES = {
    "points": set(),
    "grid": set(),
    "hourly": {"units"},
    "stations": {"limit"},
    "observations": {"start", "end", "limit", "cursor"},
    "latest": {"require_qc"},
    "alerts": {"point", "area", "region", "zone", "status"},
}
PATHS = {
    "points": r"/points/([^/]+)",
    "grid": rf"/gridpoints/{OFFICE}/(\d+),\d+",
    "hourly": rf"/gridpoints/{OFFICE}/(\d+),\d+/forecast/hourly",
    "stations": rf"/gridpoints/{OFFICE}/(\d+),\d+/stations",
    "observations": r"/stations/K(\d+)ST/observations",
    "latest": r"/stations/K(\d+)ST/observations/latest",
    "alerts": r"/alerts/active()",
}
PROBLEMS = {
    301: ("AdjustPointPrecision", "Adjusting Precision Of Point Coordinate"),
    400: ("BadRequest", "Bad Request"),
    404: ("NotFound", "Not Found"),
    500: ("UnexpectedProblem", "Unexpected Problem"),
    503: ("UnavailableWebService", "Service Unavailable"),
}


@dataclass
class NwsRoute:
    """The route, and what a test may choose about its answers.

    updated_before : age of the forecast
    qpf_hours : how far rain amounts reach
    alerts : properties of the alerts in force
    """

    updated_before: timedelta = timedelta(minutes=40)
    qpf_hours: int = GRID_AHEAD_H
    alerts: list[JsonDict] = field(default_factory=list)
    zone: str = "America/New_York"

    def __call__(self, server: StandIn, request: Request, status: int) -> Answer | None:
        for kind, pattern in PATHS.items():
            found = re.fullmatch(pattern, request.path)
            if found:
                return self._answer(server, request, status, kind, found[1])
        return None

    def _answer(
        self, server: StandIn, request: Request, status: int, kind: str, which: str
    ) -> Answer:
        if not request.headers.get("User-Agent"):
            return 403, {"Content-Type": "text/html"}, "<html><body>Access Denied</body></html>"
        if status >= 300:
            return problem(status)
        if unknown := set(request.query) - QUERIES[kind]:
            return problem(400, f"Query parameter {sorted(unknown)[0]!r} is not recognized")
        modified = self._made(server)
        if _not_modified(request, modified):
            return 304, _headers(server.now, modified), ""
        told = getattr(self, f"_{kind}")(server, request, which)
        if isinstance(told, tuple):
            return told
        return status, _headers(server.now, modified), told

    def _made(self, server: StandIn) -> datetime:
        return (server.now - self.updated_before).replace(microsecond=0)

    def _points(self, server: StandIn, _: object, which: str) -> JsonDict | Answer:
        parts = which.split(",")
        if len(parts) != 2 or not all(re.fullmatch(r"-?\d+(\.\d+)?", part) for part in parts):
            return problem(404, "not a point", "InvalidPoint")
        short = [f"{float(part):.4f}".rstrip("0").rstrip(".") for part in parts]
        if short != parts:
            long = any(len(part.partition(".")[2]) > 4 for part in parts)
            kind = "AdjustPointPrecision" if long else "AdjustTrailingZeroRedundancy"
            moved = problem(301, "the point is told too finely", kind)
            return 301, dict(moved[1]) | {"Location": f"/points/{','.join(short)}"}, moved[2]
        north, east = (float(part) for part in parts)
        sites = list(server.records)
        near = min(
            range(len(sites)), key=lambda k: math.hypot(sites[k][0] - north, sites[k][1] - east)
        )
        if math.hypot(sites[near][0] - north, sites[near][1] - east) > 3.0:
            return problem(404, "Unable to provide data for requested point", "InvalidPoint")
        cell = f"{HOST}/gridpoints/{OFFICE}/{near},0"
        return {
            "id": f"{HOST}/points/{which}",
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [east, north]},
            "properties": {
                "@id": f"{HOST}/points/{which}",
                "@type": "wx:Point",
                "cwa": OFFICE,
                "type": "land",
                "gridId": OFFICE,
                "gridX": near,
                "gridY": 0,
                "forecast": f"{cell}/forecast",
                "forecastHourly": f"{cell}/forecast/hourly",
                "forecastGridData": cell,
                "observationStations": f"{cell}/stations",
                "timeZone": self.zone,
            },
        }

    def _grid(self, server: StandIn, _: object, which: str) -> JsonDict:
        record = list(server.records.values())[int(which)]
        first = server.now.replace(minute=0, second=0, microsecond=0) - GRID_BACK_H * HOUR
        times = [first + k * HOUR for k in range(GRID_BACK_H + GRID_AHEAD_H)]
        off = server.errors(times)
        rows = {at: record.get(at, {}) for at in times}

        def layer(name: str, uom: str, factor: float = 1.0) -> JsonDict:
            values = [(at, rows[at].get(name)) for at in times]
            if all(value is None for _, value in values):
                return {"values": []}
            shift = off if name in ("air_C", "dew_point_C") else {}
            told = [
                (at, None if value is None else value * factor + shift.get(at, 0.0))
                for at, value in values
            ]
            return {"uom": uom, "values": list(merged(told))}

        blocks = list(_blocks(times[: GRID_BACK_H + self.qpf_hours]))
        totals = [_total(record, block) for block in blocks]
        spans = [_span(block[0], len(block)) for block in blocks]
        chances = [None if total is None else 80 if total > 0.1 else 5 for total in totals]
        return {
            "@context": [],
            "id": f"{HOST}/gridpoints/{OFFICE}/{which},0",
            "type": "Feature",
            "geometry": {"type": "Polygon", "coordinates": []},
            "properties": {
                "@id": f"{HOST}/gridpoints/{OFFICE}/{which},0",
                "@type": "wx:Gridpoint",
                "updateTime": self._made(server).isoformat(),
                "validTimes": _span(first, len(times)),
                "elevation": {"unitCode": "wmoUnit:m", "value": 5.2},
                "gridId": OFFICE,
                "gridX": which,
                "gridY": 0,
                "temperature": layer("air_C", "wmoUnit:degC"),
                "dewpoint": layer("dew_point_C", "wmoUnit:degC"),
                "relativeHumidity": layer("rh_pct", "wmoUnit:percent"),
                "windSpeed": layer("wind_m_s", "wmoUnit:km_h-1", 3.6),
                "skyCover": layer("cloud_pct", "wmoUnit:percent"),
                "windChill": {
                    "uom": "wmoUnit:degC",
                    "values": [{"validTime": _span(first, len(times)), "value": None}],
                },
                "probabilityOfPrecipitation": {
                    "uom": "wmoUnit:percent",
                    "values": [
                        {"validTime": s, "value": c} for s, c in zip(spans, chances, strict=True)
                    ],
                },
                "quantitativePrecipitation": {
                    "uom": "wmoUnit:mm",
                    "values": [
                        {"validTime": s, "value": t} for s, t in zip(spans, totals, strict=True)
                    ],
                },
                "hazards": {"values": []},
                "pressure": {"values": []},
            },
        }

    def _hourly(self, server: StandIn, request: Request, which: str) -> JsonDict:
        record = list(server.records.values())[int(which)]
        zone = ZoneInfo(self.zone)
        first = server.now.replace(minute=0, second=0, microsecond=0)
        units = request.query.get("units", "us")
        times = [first + k * HOUR for k in range(PERIODS)]
        periods = [
            _period(k + 1, at, record[at], zone, units)
            for k, at in enumerate(times)
            if "air_C" in record.get(at, {})
        ]
        return {
            "type": "Feature",
            "geometry": {"type": "Polygon", "coordinates": []},
            "properties": {
                "units": units,
                "forecastGenerator": "HourlyForecastGenerator",
                "generatedAt": server.now.isoformat(),
                "updateTime": self._made(server).isoformat(),
                "elevation": {"unitCode": "wmoUnit:m", "value": 5.2},
                "periods": periods,
            },
        }

    def _stations(self, server: StandIn, request: Request, which: str) -> JsonDict:
        sites = list(server.records)
        here = sites[int(which)]
        order = sorted(range(len(sites)), key=lambda k: math.dist(sites[k], here))
        features = [
            {
                "id": f"{HOST}/stations/K{k}ST",
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": [sites[k][1], sites[k][0]]},
                "properties": {
                    "@type": "wx:ObservationStation",
                    "stationIdentifier": f"K{k}ST",
                    "elevation": {"unitCode": "wmoUnit:m", "value": 5},
                },
            }
            for k in order
        ]
        return {
            "type": "FeatureCollection",
            "features": features[: int(request.query.get("limit", 50))],
        }

    def _observations(self, server: StandIn, request: Request, which: str) -> JsonDict:
        record = list(server.records.values())[int(which)]
        begin = request.query.get("start", (server.now - 7 * 24 * HOUR).isoformat())
        since = datetime.fromisoformat(begin)
        told = [
            report(which, at - timedelta(minutes=7), row)
            for at, row in record.items()
            if since <= at - timedelta(minutes=7) <= server.now
        ]
        limit = int(request.query.get("limit", 500))
        return {"type": "FeatureCollection", "features": told[::-1][:limit]}

    def _latest(self, server: StandIn, request: Request, which: str) -> JsonDict | Answer:
        features = self._observations(server, request, which)["features"]
        return features[0] if features else problem(404)

    def _alerts(self, *_: object) -> JsonDict:
        features = [
            {
                "id": f"{HOST}/alerts/{one.get('id')}",
                "type": "Feature",
                "geometry": None,
                "properties": one,
            }
            for one in self.alerts
        ]
        return {"type": "FeatureCollection", "features": features, "title": "current alerts"}


def problem(status: int, detail: str = "invented detail text", kind: str = "") -> Answer:
    """An answer of RFC 7807 in one of the two forms that the service uses for types."""
    known, title = PROBLEMS.get(status, ("UnexpectedProblem", "Unexpected Problem"))
    if status == 403:
        return 403, {"Content-Type": "text/html"}, "<html><body>Access Denied</body></html>"
    return (
        status,
        {"Content-Type": "application/problem+json"},
        {
            "correlationId": "0f1e2d3c",
            "title": title,
            "type": f"{HOST}/problems/{kind or known}",
            "status": status,
            "detail": detail,
            "instance": f"{HOST}/requests/0f1e2d3c",
        },
    )


def merged(values: list[tuple[datetime, float | None]]) -> Iterator[JsonDict]:
    """Equal neighbours as one interval."""
    k = 0
    while k < len(values):
        at, value = values[k]
        end = k
        while end < len(values) and values[end][1] == value:
            end += 1
        yield {"validTime": _span(at, end - k), "value": value}
        k = end


def _span(at: datetime, hours: int) -> str:
    days, rest = divmod(hours, 24)
    day, hour = f"{days}D" if days else "", f"T{rest}H" if rest else ""
    return f"{at.isoformat()}/P{day}{hour}"


def _blocks(times: list[datetime]) -> Iterator[list[datetime]]:
    """Cut at 00, 06, 12 and 18 UTC."""
    block: list[datetime] = []
    for at in times:
        if block and at.hour % 6 == 0:
            yield block
            block = []
        block.append(at)
    if block:
        yield block


def _total(record: Mapping[datetime, Mapping[str, float]], block: list[datetime]) -> float | None:
    told = [record.get(at, {}).get("rain_mm") for at in block]
    return None if any(one is None for one in told) else sum(one for one in told if one)


def _period(
    number: int, at: datetime, row: Mapping[str, float], zone: ZoneInfo, units: str
) -> JsonDict:
    warm = round(row["air_C"] if units == "si" else row["air_C"] * 1.8 + 32)
    wind = row.get("wind_m_s", 0.0)
    low = math.floor(wind * (3.6 if units == "si" else 2.236936))
    return {
        "number": number,
        "name": "",
        "startTime": at.astimezone(zone).isoformat(),
        "endTime": (at + HOUR).astimezone(zone).isoformat(),
        "isDaytime": 6 <= at.astimezone(zone).hour < 18,
        "temperature": warm,
        "temperatureUnit": "C" if units == "si" else "F",
        "temperatureTrend": "" if number % 2 else None,
        "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": None},
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": row.get("dew_point_C")},
        "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": row.get("rh_pct")},
        "windSpeed": f"{low} to {low + 2} {'km/h' if units == 'si' else 'mph'}",
        "windDirection": "S",
        "shortForecast": "Partly Cloudy",
        "detailedForecast": "",
    }


def report(which: str, at: datetime, row: Mapping[str, float]) -> JsonDict:
    """One observation; the amounts of rain have no key, as in most records."""
    warm, dew = row.get("air_C"), row.get("dew_point_C")
    group = "" if warm is None or dew is None else f" T{_tenths(warm)}{_tenths(dew)}"

    def told(value: float | None, code: str) -> JsonDict:
        flag = "Z" if value is None else "V"
        return {"unitCode": f"wmoUnit:{code}", "value": value, "qualityControl": flag}

    wind = row.get("wind_m_s")
    return {
        "id": f"{HOST}/stations/K{which}ST/observations/{at.isoformat()}",
        "type": "Feature",
        "geometry": None,
        "properties": {
            "@type": "wx:ObservationStation",
            "elevation": {"unitCode": "wmoUnit:m", "value": 5},
            "station": f"{HOST}/stations/K{which}ST",
            "stationId": f"K{which}ST",
            "timestamp": at.isoformat(),
            "rawMessage": f"K{which}ST {at:%d%H%M}Z AUTO RMK AO2{group}",
            "icon": None,
            "presentWeather": [],
            "temperature": told(warm, "degC"),
            "dewpoint": told(dew, "degC"),
            "windSpeed": told(None if wind is None else wind * 3.6, "km_h-1"),
            "windGust": told(None, "km_h-1"),
            "precipitationLast3Hours": told(None, "mm"),
            "relativeHumidity": told(row.get("rh_pct"), "percent"),
            "cloudLayers": [],
        },
    }


def _tenths(celsius: float) -> str:
    return f"{int(celsius < 0)}{round(abs(celsius) * 10):03d}"


def _headers(now: datetime, modified: datetime) -> dict[str, str]:
    return {
        "Content-Type": "application/geo+json",
        "Cache-Control": "public, max-age=282, s-maxage=3600",
        "Expires": http_date(now + timedelta(seconds=282)),
        "Last-Modified": http_date(modified),
        "Vary": "Accept,Feature-Flags,Accept-Language",
        "X-Request-ID": "0f1e2d3c",
    }


def _not_modified(request: Request, modified: datetime) -> bool:
    """An HTTP date is understood; anything else, such as ISO 8601, is passed over in silence."""
    try:
        return parsedate_to_datetime(request.headers["If-Modified-Since"]) >= modified
    except (KeyError, ValueError, TypeError):
        return False
