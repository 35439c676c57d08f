"""A pour's life on weather as services really answered: recorded bodies through the real readers.

A recorded answer serves for weeks: it is moved by whole days, so that day and night stay where they
are, and cut as the service cuts it: Locationforecast begins at the hour of asking, the grid of an
NWS office eight hours before. Where an answer was recorded elsewhere, its clock is moved by the
difference of the longitudes and its coordinates are the place's own; where it was recorded in
another season its temperatures are shifted, and its path says by how much. Nothing else is changed.
Sources: tests/data/recorded/sources.json.
"""

import gzip
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlmodel import select

from models.errors import WeatherUnavailable
from models.records import Place, Projection, WeatherRun
from service.actions.pours.log_pour import log_pour
from service.actions.shop.set_up_shop import save_place
from service.actions.shop.tidy import tidy_when_due
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.actions.windows.project_pour import project_pour
from service.nouns.pour import PourCreate
from service.store import Store
from service.weather.chain import MET_NORWAY, NWS, OPEN_METEO, Chain
from service.weather.copies import Copy
from service.weather.health import Watched
from service.weather.http import Caller
from service.weather.met_norway import MetNorway
from service.weather.nws import Nws
from service.weather.open_meteo import OpenMeteo
from service.weather.provider import Provider
from tests.support.raw import Json
from tests.support.shop import Bench

LACKS_WEATHER = {"no_weather", "weather_known_until", "no_moisture_no_drying"}
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
RECORDED = Path(__file__).parents[1] / "data" / "recorded"
GRID_BACK = 8 * HOUR
ALBANY = "air-quality-alerts-ALY-71_67"
NWS_FILES = (
    (r"/points/", "nws/air-quality-alerts-points-42.745_-73.752"),
    (r"/gridpoints/ALY/71,67$", f"nws/{ALBANY}-grid"),
    (r"/forecast/hourly$", f"nws/{ALBANY}-hourly"),
    (r"/gridpoints/ALY/71,67/stations$", f"nws/{ALBANY}-stations"),
)
RELATIVE = re.compile(r"date:now ([+-]\d+) seconds")


@dataclass(frozen=True)
class Path_:
    """Which services answer along a pour's life: `up` says who does at an hour from placing."""

    words: str
    order: tuple[str, ...]
    latitude: float
    longitude: float
    placed_at: datetime
    up: Callable[[float], tuple[str, ...]]
    met: str = "met/norway-complete-2022-05"
    open_meteo: str = "om/new-jersey-2025-12-28"
    met_shift_K: float = 0.0


@dataclass
class Lived:
    """What became of a pour on one path, hours from placing at which it was looked at."""

    looked_h: list[float] = field(default_factory=list)
    blocked_h: list[float] = field(default_factory=list)
    unasked_h: list[float] = field(default_factory=list)
    answered: int = 0
    sources: set[str] = field(default_factory=set)
    blocked_steps: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Replayer(Caller):
    """A caller whose answers are the recorded ones; who is down says so as a service does."""

    path: "Path_ | None" = None
    contact: str = "yard@castclock.example"

    def get_copy(
        self,
        provider: str,
        url: str,
        parameters: Mapping[str, str],
        now: datetime,
        explain: object,
        accept: str = "",
        patience: object = None,
    ) -> Copy:
        del parameters, explain, accept, patience
        path = self.path
        assert path is not None
        key = {"MET Norway": MET_NORWAY, "Open-Meteo": OPEN_METEO}.get(provider, NWS)
        if key not in path.up((now - path.placed_at) / HOUR):
            raise WeatherUnavailable(provider, "status 503", 900.0)
        if key == MET_NORWAY:
            return _copy(_met(path, now), now)
        if key == OPEN_METEO:
            return _copy(_open_meteo(path, now), now)
        for pattern, name in NWS_FILES:
            if re.search(pattern, url):
                return _copy(_nws(name, now), now)
        if "/observations" in url:  # a place without a usable station
            return _copy({"features": []}, now)
        raise WeatherUnavailable(provider, f"nothing recorded for {url}", 900.0)


def opened(name: str) -> Json:
    return json.loads(gzip.decompress((RECORDED / f"{name}.json.gz").read_bytes()))


def _copy(document: Json, now: datetime) -> Copy:
    return Copy(json.dumps(document).encode(), now, now)


def _whole_days(now: datetime, first: datetime) -> timedelta:
    """By how many whole days to move what began at `first`, so that it begins by `now`."""
    return timedelta(days=(now - first) // DAY)


def _met(path: Path_, now: datetime) -> Json:
    told = opened(path.met)
    east, north = told["geometry"]["coordinates"][:2]
    sun = -round((path.longitude - east) / 15) * HOUR
    told["geometry"]["coordinates"] = [path.longitude, path.latitude]
    rows = told["properties"]["timeseries"]
    times = [datetime.fromisoformat(row["time"]) + sun for row in rows]
    moved = _whole_days(now, times[0])
    hour = now.replace(minute=0, second=0, microsecond=0)
    kept = []
    for row, at in zip(rows, times, strict=True):
        if at + moved < hour:
            continue
        row["time"] = f"{at + moved:%Y-%m-%dT%H:%M:%SZ}"
        for part in row["data"].values():
            if path.met_shift_K:
                part.get("details", {}).pop("relative_humidity", None)  # true of the others only
            for key in part.get("details", {}):
                if "temperature" in key:
                    part["details"][key] += path.met_shift_K
        kept.append(row)
    told["properties"]["timeseries"] = kept
    told["properties"]["meta"]["updated_at"] = f"{now - HOUR / 2:%Y-%m-%dT%H:%M:%SZ}"
    return told


def _open_meteo(path: Path_, now: datetime) -> Json:
    told = opened(path.open_meteo)
    sun = -round((path.longitude - told["longitude"]) / 15) * HOUR
    told["latitude"], told["longitude"] = path.latitude, path.longitude
    zone = timedelta(seconds=told["utc_offset_seconds"])
    times = [datetime.fromisoformat(text) for text in told["hourly"]["time"]]
    first = (times[0] - zone + sun).replace(tzinfo=UTC)
    moved = _whole_days(now, first) + sun
    told["hourly"]["time"] = [f"{at + moved:%Y-%m-%dT%H:%M}" for at in times]
    return told


def _nws(name: str, now: datetime) -> Json:
    text = json.dumps(opened(name))
    recorded = datetime.fromisoformat(
        json.loads((RECORDED / "sources.json").read_text())["recorded_at"][ALBANY]
    )
    base = recorded + _whole_days(now, recorded)

    def absolute(match: re.Match[str]) -> str:
        return f"{base + timedelta(seconds=int(match[1])):%Y-%m-%dT%H:%M:%S+00:00}"

    told = json.loads(RELATIVE.sub(absolute, text).replace("+00:00 / ", "+00:00/"))
    properties = told.get("properties", {})
    if "updateTime" in properties:
        properties["updateTime"] = (now - 1.5 * HOUR).isoformat(timespec="seconds")
    for layer in properties.values():
        if isinstance(layer, dict) and isinstance(layer.get("values"), list):
            layer["values"] = [
                one
                for one in layer["values"]
                if datetime.fromisoformat(one["validTime"].split("/")[0]) >= now - GRID_BACK
            ]
    return told


def services(path: Path_) -> Chain:
    caller = Replayer(path=path)
    every: dict[str, Provider] = {
        NWS: Nws(caller),
        OPEN_METEO: OpenMeteo(caller),
        MET_NORWAY: MetNorway(caller),
    }
    return Chain({key: Watched(every[key], key) for key in path.order}, path.order)


def live(
    store: Store, bench: Bench, path: Path_, days: float, refresh_h: float, look_h: float
) -> Lived:
    """The clock's rounds over a pour: refresh, tidy once a day, project; who was blocked when."""
    chain, found = services(path), Lived()
    at = path.placed_at
    with store.unit_of_work() as session:
        zone = "Europe/Oslo" if path.longitude > 0 else "America/New_York"
        where = {"latitude": path.latitude, "longitude": path.longitude, "timezone": zone}
        save_place(session, at, where | {"kind": "open yard"}, bench.place_id)
    refresh_forecast(store, at - HOUR, bench.place_id, chain)
    with store.unit_of_work() as session:
        pour = log_pour(
            session,
            at,
            PourCreate(
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                mould_id=bench.mould_id,
                placed_at=at,
                concrete_C=15.0,
            ),
        ).id
    hour = 0.0
    while hour <= 24 * days:
        now = at + hour * HOUR
        try:
            refresh_forecast(store, now, bench.place_id, chain)
            found.answered += 1
        except WeatherUnavailable:
            pass
        with store.unit_of_work() as session:
            tidy_when_due(session, now)
        if hour % look_h == 0:
            _look(found, project_pour(store, now, pour), hour)
        hour += refresh_h
    with store.reading() as session:
        told = session.exec(
            select(WeatherRun.provider).join(Place).where(Place.id == bench.place_id)
        ).all()
    found.sources = set(told)
    return found


def _look(found: Lived, row: Projection | None, hour: float) -> None:
    assert row is not None
    steps = {step["step"]: step for step in row.answer["steps"]}
    want = {
        name: step["because"]
        for name, step in steps.items()
        if step["state"] == "blocked" and LACKS_WEATHER & {one["code"] for one in step["reasons"]}
    }
    found.looked_h.append(hour)
    if want:
        found.blocked_h.append(hour)
        found.blocked_steps |= want
    if want.get("strip") or row.concrete is None:
        found.unasked_h.append(hour)  # without a course nobody looks for frost


def turns(*keys: str, days: float = 1.0) -> Callable[[float], tuple[str, ...]]:
    """One service at a time, each for so many days, round and round."""
    return lambda hour: (keys[int(max(hour, 0.0) // (24 * days)) % len(keys)],)


def always(*keys: str) -> Callable[[float], tuple[str, ...]]:
    return lambda _: keys


AUGUST = datetime(2025, 8, 5, 14, tzinfo=UTC)
WINTER = datetime(2025, 12, 28, 15, tzinfo=UTC)
HERE = (42.745, -73.752)
YARD = (40.628, -74.425)
LONDON = "met/london-complete-2021"
PATHS = {
    "met": Path_(
        "MET Norway alone (Norway, May)",
        (MET_NORWAY, OPEN_METEO),
        59.0,
        10.0,
        datetime(2022, 5, 18, 21, tzinfo=UTC),
        always(MET_NORWAY),
    ),
    "nws": Path_(
        "NWS without a station (Albany, August)",
        (NWS, OPEN_METEO, MET_NORWAY),
        *HERE,
        placed_at=AUGUST,
        up=always(NWS),
    ),
    "nws-met": Path_(
        "NWS and MET Norway (London's, July) by turns of a day",
        (NWS, MET_NORWAY),
        *HERE,
        placed_at=AUGUST,
        up=turns(NWS, MET_NORWAY),
        met=LONDON,
    ),
    "nws-gone": Path_(
        "NWS for two days, then MET Norway (London's, July)",
        (NWS, MET_NORWAY),
        *HERE,
        placed_at=AUGUST,
        up=lambda hour: (NWS,) if hour < 48 else (MET_NORWAY,),
        met=LONDON,
    ),
    "om-met": Path_(
        "Open-Meteo (New Jersey, December) and MET Norway (Norway's, May, 10 K lower) by turns",
        (OPEN_METEO, MET_NORWAY),
        *YARD,
        placed_at=WINTER,
        up=turns(OPEN_METEO, MET_NORWAY),
        met_shift_K=-10.0,
    ),
    "met-om": Path_(
        "MET Norway (10 K lower) for two days, then Open-Meteo (New Jersey, December)",
        (MET_NORWAY, OPEN_METEO),
        *YARD,
        placed_at=WINTER,
        up=lambda hour: (MET_NORWAY,) if hour < 48 else (OPEN_METEO,),
        met_shift_K=-10.0,
    ),
    "pauses": Path_(
        "MET Norway with a day without any service in three",
        (MET_NORWAY,),
        59.0,
        10.0,
        datetime(2022, 5, 18, 21, tzinfo=UTC),
        lambda hour: () if 24 <= hour % 72 < 48 else (MET_NORWAY,),
    ),
    "dry": Path_(
        "NWS down: Open-Meteo without moisture (Brasilia's) with MET Norway's (London's)",
        (NWS, OPEN_METEO, MET_NORWAY),
        *HERE,
        placed_at=AUGUST,
        up=always(OPEN_METEO, MET_NORWAY),
        met=LONDON,
        open_meteo="om/brasilia-2023-10",
    ),
}
