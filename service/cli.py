"""`castclock`: the composition root. Heavy imports stand in the commands, since the folder for
compiled code must be set before the science is imported."""

import json
import os
import sys
import tempfile
from dataclasses import replace
from datetime import UTC, datetime
from importlib.metadata import packages_distributions
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.errors import InputError, Unknown
from service import settings as setting
from service.settings import Settings

if TYPE_CHECKING:
    from models.air.series import AirSeries
    from service.scenario_file import ScenarioFile

OURS = ("models", "service", "scheduler")

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="When concrete pieces may be stripped, turned, sanded and sealed, by the weather.",
)

ScenarioArgument = Annotated[Path, typer.Argument(metavar="SCENARIO.toml", help="One pour.")]
JsonOption = Annotated[bool, typer.Option("--json", help="JSON instead of a table.")]
WeatherOption = Annotated[
    Path | None, typer.Option("--weather", metavar="FILE.csv", help="Instead of the scenario's.")
]
NowOption = Annotated[
    str, typer.Option("--now", metavar="ISO", help="The present instant, with its offset.")
]
DataOption = Annotated[str, typer.Option("--data", metavar="DIR", help="Folder of the shop.")]
DatabaseOption = Annotated[
    str, typer.Option("--database", metavar="URL", help="sqlite:///FILE or postgresql://...")
]


@app.command()
def timeline(
    scenario: ScenarioArgument,
    as_json: JsonOption = False,
    weather: WeatherOption = None,
    now: NowOption = "",
) -> None:
    """The windows of one pour: no server, no database."""
    _keep_compiled_code(_user_cache())
    from models.projection.run import project

    from service import printed, scenario_file

    file = scenario_file.read(scenario)
    instant = _instant(now, file)
    air = _air(file, weather, instant)
    try:
        projection = project(file.scenario, air, instant)
    except InputError as error:
        raise error.at(error.where or scenario.name) from None
    if as_json:
        _print_json(projection.as_json())
    else:
        print(printed.timeline(projection, file.scenario, printed.named(air), instant))


@app.command("pour-check")
def pour_check(
    scenario: ScenarioArgument,
    as_json: JsonOption = False,
    weather: WeatherOption = None,
    now: NowOption = "",
) -> None:
    """Pour now, under which cover, or wait until when: no server, no database."""
    _keep_compiled_code(_user_cache())
    from models.projection.pour_check import check

    from service import printed, scenario_file

    file = scenario_file.read(scenario)
    instant = _instant(now, file)
    air = _air(file, weather, instant)
    try:
        answer = check(file.scenario, air, instant)
    except InputError as error:
        raise error.at(error.where or scenario.name) from None
    if as_json:
        _print_json(answer.as_json())
    else:
        print(printed.pour_check(answer, file.scenario, printed.named(air), instant))


@app.command()
def backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A new file.")],
    data: DataOption = "",
    database: DatabaseOption = "",
) -> None:
    """A checked copy of the database, also while castclock runs (SQLite)."""
    from service import backup as copies

    copies.backup(copies.sqlite_file(_settings(data, database).database_url), file)
    print(f"{file}: written and checked")


@app.command()
def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A backup.")],
    data: DataOption = "",
    database: DatabaseOption = "",
) -> None:
    """Put a backup in place of the database; castclock must be stopped (SQLite)."""
    from service import backup as copies

    place = copies.sqlite_file(_settings(data, database).database_url)
    kept = copies.restore(file, place)
    print(f"{place}: restored from {file}")
    if kept is not None:
        print(f"the database that stood there is kept as {kept}")


def main() -> None:
    """Run a command; a value that cannot be used is told in one line, exit 2."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        _refuse_strangers()
        app()
    except InputError as error:
        print(error, file=sys.stderr)
        sys.exit(2)


def _refuse_strangers() -> None:
    """Our package names are plain words: another distribution may have written over them."""
    owners = packages_distributions()
    for name in OURS:
        others = sorted(set(owners.get(name, [])) - {"castclock"})
        if others:
            raise InputError(
                f"package {name}",
                others[0],
                "another distribution has installed a package of this name here",
                "an environment of its own to castclock, as made by python3 -m venv",
            )


def _settings(data: str, database: str, host: str = "", port: int = 0) -> Settings:
    given = {"data": data, "database": database, "host": host, "port": port}
    chosen = {name: value for name, value in given.items() if value}
    if data and database:
        raise InputError("--data", data, "stands beside --database", "one of the two")
    base = setting.read(os.environ)
    if data:
        base = replace(base, database="")
    return replace(base, **chosen)  # type: ignore[arg-type]


def _keep_compiled_code(folder: Path) -> None:
    if "NUMBA_CACHE_DIR" in os.environ:
        return
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:  # no home, or a read-only one: compile anew each time rather than not start
        folder = Path(tempfile.mkdtemp(prefix="castclock-numba-"))
    os.environ["NUMBA_CACHE_DIR"] = str(folder)


def _user_cache() -> Path:
    given = os.environ.get("XDG_CACHE_HOME", "")
    base = Path(given) if given else Path(os.path.expanduser("~")) / ".cache"
    return base / "castclock" / "numba"


def _instant(text: str, file: "ScenarioFile") -> datetime:
    from service import toml_table

    if text:
        return toml_table.instant("--now", text)
    return file.asked_at or datetime.now(UTC)


def _air(file: "ScenarioFile", given: Path | None, now: datetime) -> "AirSeries | Unknown":
    from zoneinfo import ZoneInfo

    from models.air import series
    from service.weather import csv_file

    weather = given or file.weather
    if weather is None:
        return Unknown(
            "the weather",
            f"{file.path.name} names none",
            "give --weather FILE.csv, or [weather] file, or night_low_C and day_high_C, in it",
        )
    if isinstance(weather, Path):
        return csv_file.read(weather, weather.name, issued_at=now)
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


def _print_json(content: object) -> None:
    print(json.dumps(content, indent=2, allow_nan=False))
