"""MET Norway's Locationforecast 2.0, made from the record: a route of the stand-in.

Shape and manners follow its documentation: hourly steps for some days, then one every six hours,
absent keys and no nulls, 403 for whoever does not say who he is and for more than four decimals,
error bodies of HTML, Expires in half an hour, 304 for the exact stamp of before.
"""

import math
import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from tests.stand_in.open_meteo_server import Answer, Record, Request, StandIn
from tests.support.http_date import http_date
from tests.support.raw import JsonDict

HOUR = timedelta(hours=1)
PATH = r"/weatherapi/locationforecast/2\.0/(compact|complete)"
UNITS = {
    "air_temperature": "celsius",
    "air_temperature_percentile_10": "celsius",
    "air_temperature_percentile_90": "celsius",
    "cloud_area_fraction": "%",
    "dew_point_temperature": "celsius",
    "precipitation_amount": "mm",
    "probability_of_precipitation": "%",
    "relative_humidity": "%",
    "wind_speed": "m/s",
}
INSTANT = {
    "air_temperature": "air_C",
    "dew_point_temperature": "dew_point_C",
    "relative_humidity": "rh_pct",
    "wind_speed": "wind_m_s",
    "cloud_area_fraction": "cloud_pct",
}
COMPLETE_ONLY = ("dew_point_temperature", "percentile", "probability")
P90_SD = 1.2815515655  # 90 % point of the normal distribution


@dataclass
class MetNorwayRoute:
    """The route, and what a test may choose about its answers.

    hourly_h : how long it is hourly
    days : how far it reaches
    percentiles_h : how long it tells the 10 % and 90 % points; 0 for never
    """

    updated_before: timedelta = timedelta(minutes=40)
    hourly_h: int = 60
    days: float = 9.5
    percentiles_h: int = 240

    def __call__(self, server: StandIn, request: Request, status: int) -> Answer | None:
        found = re.fullmatch(PATH, request.path)
        if not found:
            return None
        agent = request.headers.get("User-Agent", "")
        if "@" not in agent and "http" not in agent.partition("(")[2]:
            return 403, {"Content-Type": "text/html"}, "<html><body>403 Forbidden</body></html>"
        if status >= 300:
            return html(status)
        if any(len(request.query.get(x, "").partition(".")[2]) > 4 for x in ("lat", "lon")):
            return html(403)
        if not {"lat", "lon"} <= set(request.query) <= {"lat", "lon", "altitude"}:
            return html(400)
        made = (server.now - self.updated_before).replace(microsecond=0)
        headers = {
            "Content-Type": "application/json",
            "Expires": http_date(server.now + timedelta(minutes=30)),
            "Last-Modified": http_date(made),
            "Vary": "Accept",
        }
        if request.headers.get("If-Modified-Since") == headers["Last-Modified"] and status == 200:
            return 304, headers, ""
        return status, headers, self._document(server, request, made, found[1])

    def _document(self, server: StandIn, request: Request, made: datetime, kind: str) -> JsonDict:
        north, east = float(request.query["lat"]), float(request.query["lon"])
        site = min(server.records, key=lambda s: math.hypot(s[0] - north, s[1] - east))
        record = server.records[site]
        first = server.now.replace(minute=0, second=0, microsecond=0)
        times = [first + k * HOUR for k in range(self.hourly_h)]
        tail = [first + k * HOUR for k in range(self.hourly_h, round(self.days * 24))]
        times += [at for at in tail if at.hour % 6 == 0]
        off = server.errors([first + k * HOUR for k in range(round(self.days * 24))])
        steps = [
            self._step(record, at, following, first, off.get(at, 0.0))
            for at, following in zip(times, [*times[1:], None], strict=True)
        ]
        told = [step for step in steps if step["data"]["instant"]["details"]]
        if kind == "compact":
            told = [_compact(step) for step in told]
        return {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [site[1], site[0], 5]},
            "properties": {
                "meta": {"updated_at": f"{made:%Y-%m-%dT%H:%M:%SZ}", "units": UNITS},
                "timeseries": told,
            },
        }

    def _step(
        self,
        record: Record,
        at: datetime,
        following: datetime | None,
        first: datetime,
        off_K: float,
    ) -> JsonDict:
        row = record.get(at, {})
        details = {
            name: round(row[ours] + (off_K if ours.endswith("_C") else 0.0), 1)
            for name, ours in INSTANT.items()
            if ours in row
        }
        lead_h = (at - first) / HOUR
        if "air_temperature" in details and lead_h < self.percentiles_h:
            for sign, name in ((-1, "10"), (1, "90")):
                value = details["air_temperature"] + sign * P90_SD * sd_K(lead_h)
                details[f"air_temperature_percentile_{name}"] = round(value, 1)
        data: JsonDict = {"instant": {"details": details}}
        if following is not None:
            if following - at == HOUR:
                data["next_1_hours"] = _rain(record, at, 1)
            data["next_6_hours"] = _rain(record, at, 6)
            data["next_12_hours"] = {"summary": {"symbol_code": "cloudy"}, "details": {}}
        return {"time": f"{at:%Y-%m-%dT%H:%M:%SZ}", "data": data}


def sd_K(lead_h: float) -> float:
    """The doubt that the percentiles tell, invented: 0.8 K now and 2.3 K after four days."""
    return 0.8 + 1.5 * lead_h / 96.0


def html(status: int) -> Answer:
    return status, {"Content-Type": "text/html"}, f"<html><body><h1>{status}</h1></body></html>"


def _rain(record: Record, at: datetime, hours: int) -> JsonDict:
    hourly = [record.get(at + k * HOUR, {}).get("rain_mm") for k in range(hours)]
    told = [one for one in hourly if one is not None]
    if len(told) < hours:
        return {"summary": {"symbol_code": "cloudy"}, "details": {}}
    total = round(sum(told), 1)
    chance = 80.0 if total > 0.1 else 5.0
    return {
        "summary": {"symbol_code": "rain" if total else "cloudy"},
        "details": {"precipitation_amount": total, "probability_of_precipitation": chance},
    }


def _compact(step: JsonDict) -> JsonDict:
    for part in step["data"].values():
        part["details"] = {
            name: value
            for name, value in part["details"].items()
            if not any(word in name for word in COMPLETE_ONLY)
        }
    return step
