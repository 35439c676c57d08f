"""The weather of a scenario file: a CSV, a typical year, or a low and a high."""

from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from models.air import series
from models.air.series import AirSeries
from models.errors import InputError, Unknown
from models.message import Message
from service.scenario_file import ScenarioFile
from service.weather import csv_file, epw

WEATHER_AHEAD = timedelta(days=2)  # a file that begins later than this tells nothing of a pour


def of(file: ScenarioFile, given: Path | None, now: datetime) -> AirSeries | Unknown:
    """The air that a scenario file names, or was given instead; or what is missing."""
    weather = given or file.weather
    if weather is None:
        return Unknown(
            Message("the_weather_of_a_file"),
            Message("file_names_none", {"file": file.path.name}),
            Message("give_weather"),
        )
    if isinstance(weather, Path) and weather.suffix.lower() == ".epw":
        at = file.scenario.placement.at
        return epw.read(weather, at - timedelta(days=5), at + timedelta(days=90))
    if isinstance(weather, Path):
        air = csv_file.read(weather, weather.name, issued_at=now)
        _of_this_time(air, file, now, weather.name)
        return air
    zone = ZoneInfo(file.scenario.site.timezone)
    try:
        return series.from_low_high(
            weather.night_low_C,
            weather.day_high_C,
            min(now, file.scenario.placement.at).astimezone(zone),
            days=weather.days,
            dew_point_C=weather.dew_point_C,
            wind_m_s=weather.wind_m_s,
            cloud_fraction=weather.cloud_fraction,
        )
    except InputError as error:
        raise error.at(file.path.name, "weather.") from None


def _of_this_time(air: AirSeries, file: ScenarioFile, now: datetime, where: str) -> None:
    """Refuse weather of another year: all of it long after what it is asked for."""
    latest = max(now, file.scenario.placement.at)
    if air.start > latest + WEATHER_AHEAD:
        raise InputError(
            "time",
            air.start.isoformat(),
            f"{(air.start - latest).days} days after the pour",
            f"rows from {file.scenario.placement.at.isoformat()} on",
            where,
        )
