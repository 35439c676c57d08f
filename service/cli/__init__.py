"""`castclock`: the composition root. Heavy imports stand in the commands, since the folder for
compiled code must be set before the science is imported."""

import json
import os
import sys
import tempfile
import threading
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.errors import InputError, Unknown
from service import machine
from service import settings as setting
from service.cli import (
    amounts_printed,
    failing,
    mould_command,
    piece_printed,
    plan_command,
    serving,
    shop_command,
    upkeep,
)
from service.cli.inputs import placed
from service.cli.options import (
    AllOption,
    DatabaseOption,
    DataOption,
    HostOption,
    HttpsOption,
    JsonOption,
    LanOption,
    NowOption,
    PlanOption,
    PortOption,
    RootPathOption,
    ScenarioArgument,
    UnitsOption,
    VersionOption,
    WeatherOption,
)
from service.settings import Settings

if TYPE_CHECKING:
    from models.air.series import AirSeries
    from service.scenario_file import ScenarioFile

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,  # boxes cost more than all that help imports besides
    help="When concrete pieces may be stripped, turned, sanded and sealed, by the weather.",
)


@app.callback()
def root(version: VersionOption = False) -> None:
    """`castclock --version` stands before any command."""


SIDE_HELP = "Such as 1200, or '4 ft'; a bare number is mm."


@app.command("new")
def new_file(
    file: Annotated[Path, typer.Argument(metavar="FILE.toml", help="A file not there yet.")],
    shape: Annotated[str, typer.Option("--shape", help="panel, box or block.")] = "panel",
    length: Annotated[str, typer.Option("--length", help=SIDE_HELP)] = "",
    width: Annotated[str, typer.Option("--width", help=SIDE_HELP)] = "",
    thickness: Annotated[str, typer.Option("--thickness", help="Of a panel.")] = "",
    height: Annotated[str, typer.Option("--height", help="Of a box or a block.")] = "",
    wall: Annotated[str, typer.Option("--wall", help="Of a box.")] = "",
) -> None:
    """A scenario to start from, with a word beside each line; it asks nothing."""
    machine.keep_compiled_code(os.environ, machine.user_cache(os.environ))
    from service.cli import scenario_start

    sides = {
        "length_mm": length,
        "width_mm": width,
        "thickness_mm": thickness,
        "height_mm": height,
        "wall_mm": wall,
    }
    scenario_start.write(file, shape, sides, datetime.now(UTC), machine.local_timezone(os.environ))
    print(f"{file}: written; change it, then ask: castclock timeline {file}")


@app.command()
def timeline(
    scenario: ScenarioArgument,
    as_json: JsonOption = False,
    weather: WeatherOption = None,
    now: NowOption = "",
    plan: PlanOption = None,
    units: UnitsOption = "si",
    full: AllOption = False,
    svg: Annotated[Path | None, typer.Option(metavar="FILE.svg", help="Draw it there.")] = None,
) -> None:
    """The windows of one pour: no server, no database."""
    file, air, instant = _inputs(scenario, weather, now, plan)
    from models.planning.timeline import project
    from service.cli import doubts, printed, screen

    with placed(scenario):
        projection = project(file.scenario, air, instant)
    found = doubts.of_file(file, air)
    warnings = (*(one.message for one in found), *projection.warnings)
    projection = replace(projection, warnings=warnings)
    reader = printed.reader_of(file.scenario, units, None if as_json else instant)
    if svg is not None:
        from service.cli import timeline_file

        drawn_for = printed.reader_of(file.scenario, units, instant)
        timeline_file.draw(svg, projection, file.scenario, instant, drawn_for)
    if as_json:
        from service import answers

        content = answers.projection_json(projection, reader)
        assumed = file.scenario.resolved().assumed
        notes = [doubts.as_json(one) for one in found]
        _print_json({**content, "assumed": assumed, "notes": notes})
    else:
        told = (projection, file.scenario, printed.named(air, reader), instant, reader)
        print(printed.timeline(*told) if full else screen.timeline(*told, screen.width()))


@app.command("pour-check")
def pour_check(
    scenario: ScenarioArgument,
    as_json: JsonOption = False,
    weather: WeatherOption = None,
    now: NowOption = "",
    units: UnitsOption = "si",
    full: AllOption = False,
) -> None:
    """Pour now, under which cover, or wait until when: no server, no database."""
    file, air, instant = _inputs(scenario, weather, now)
    from models.planning.pour_check import check
    from service.cli import doubts, printed, screen
    from service.words import say_all

    with placed(scenario):
        answer = check(file.scenario, air, instant)
    found = doubts.of_file(file, air)
    reader = printed.reader_of(file.scenario, units, None if as_json else instant)
    warnings = say_all((one.message for one in found), reader)
    if as_json:
        from service import answers

        content = answers.pour_answer_json(answer, reader)
        notes = [doubts.as_json(one) for one in found]
        assumed = file.scenario.resolved().assumed
        _print_json({**content, "assumed": assumed, "warnings": warnings, "notes": notes})
    else:
        told = (answer, file.scenario, printed.named(air, reader), instant, reader)
        if full:
            print(printed.pour_check(*told, warnings))
        else:
            print(screen.pour_check(*told, [one.message for one in found], screen.width()))


@app.command()
def amounts(
    scenario: ScenarioArgument, as_json: JsonOption = False, units: UnitsOption = "si"
) -> None:
    """Bags, water, batches, mesh, sealer, mass and hands of one piece, by its [amounts]."""
    machine.keep_compiled_code(os.environ, machine.user_cache(os.environ))
    amounts_printed.show(scenario, as_json=as_json, units=units)


for one in (mould_command, plan_command):
    one.add_to(app, lambda: machine.keep_compiled_code(os.environ, machine.user_cache(os.environ)))


@app.command()
def piece(
    scenario: ScenarioArgument,
    as_json: JsonOption = False,
    units: UnitsOption = "si",
    svg: Annotated[Path | None, typer.Option(metavar="FILE.svg", help="Draw it there.")] = None,
) -> None:
    """Volume, faces, thickest part, balance and drawing of one piece."""
    machine.keep_compiled_code(os.environ, machine.user_cache(os.environ))
    piece_printed.show(scenario, as_json=as_json, units=units, svg=svg)


@app.command()
def fit(
    tests: Annotated[Path, typer.Argument(metavar="TESTS.csv", help="Own strength tests.")],
    as_json: JsonOption = False,
    plot: Annotated[Path | None, typer.Option(metavar="FILE.svg", help="Draw it there.")] = None,
    kind: Annotated[str, typer.Option("--class", help="Of the mix.")] = "general-purpose",
) -> None:
    """Strength curve of your own tests; from three temperatures datum and activation energy too."""
    from service.cli import fit_printed

    print(fit_printed.answer(tests, kind, plot, as_json=as_json))


@app.command()
def sources(
    as_json: JsonOption = False,
    markdown: Annotated[bool, typer.Option("--markdown", help="For a page of docs.")] = False,
) -> None:
    """Published values beside ours, source by source; exit 1 where one is outside its tolerance."""
    if as_json and markdown:
        raise InputError("--json", True, "stands beside --markdown", "one of the two")
    from service import published

    rows = published.rows()
    if as_json:
        _print_json(published.as_json(rows))
    else:
        print(published.as_markdown(rows) if markdown else published.as_text(rows))
    if not all(row.holds for row in rows):
        raise typer.Exit(1)


@app.command()
def openapi() -> None:
    """The interface as an OpenAPI document, of which a client can be made."""
    from service.app import routed

    _print_json(routed().openapi())


@app.command(epilog=setting.help_text())
def serve(
    data: DataOption = "",
    database: DatabaseOption = "",
    host: HostOption = "",
    port: PortOption = 0,
    lan: LanOption = False,
    https: HttpsOption = False,
    root_path: RootPathOption = "",
) -> None:
    """The pages, the API, and the clock in one process."""
    from service.cli import https as own

    settings = _settings(data, database, host, port, root_path)
    settings = serving.on_the_network(settings, https=https) if lan or https else settings
    if https:
        own.check(settings)
    machine.keep_to_ourselves(settings, os.environ, _shop_cache(settings))
    machine.keep_compiled_code(os.environ, _shop_cache(settings))
    with serving.opened(settings) as store:
        serving.bring_up_to_date(settings, store)
        with serving.holding(settings):
            keeper = own.keeper(settings) if https else None
            told = [own.greeting(settings)] if keeper else []
            told.append(serving.greeting(settings, store, lan=lan or https))
            greeting, timezone = "\n\n".join(told), machine.local_timezone(os.environ)
            serving.run(settings, store, serving.weather_of(settings), greeting, timezone, keeper)


@app.command()
def worker(database: DatabaseOption = "", data: DataOption = "") -> None:
    """A further clock over the database of a running shop; no pages."""
    settings = _settings(data, database)
    machine.keep_to_ourselves(settings, os.environ, _shop_cache(settings))
    machine.keep_compiled_code(os.environ, _shop_cache(settings))
    with serving.opened(settings) as store, serving.holding(settings):
        serving.refuse_other_tables(store)
        with serving.running_clock(settings, store, serving.weather_of(settings)):
            print("castclock works; stop it with Ctrl-C")
            threading.Event().wait()


@app.command()
def demo(host: HostOption = "127.0.0.1", port: PortOption = 8000) -> None:
    """An invented shop in a temporary folder; nothing is kept, nothing is fetched."""
    machine.keep_compiled_code(os.environ, machine.user_cache(os.environ))
    first = machine.nothing_compiled(os.environ)
    once = "; this first time it is compiled, which takes a minute or two" if first else ""
    print(f"Working out five invented pieces{once} ...", flush=True)
    with tempfile.TemporaryDirectory(prefix="castclock-demo-") as folder:
        settings = Settings(data=folder, host=host, port=port)
        from service import demo as invented
        from service.store import Store

        store = Store(settings.database_url)
        store.upgrade()
        timezone = machine.local_timezone(os.environ)
        weather = invented.Replay(timezone, datetime.now(UTC))
        invented.fill(store, weather)
        greeting = (
            f"An invented shop with five pieces is at {settings.address}\n"
            f"Open it in a browser; what to do tonight is at {settings.address}/tonight\n"
            f"Its clock is that of {timezone}, its weather is invented. Ctrl-C ends it."
        )
        serving.run(settings, store, weather, greeting, timezone)


def main() -> None:
    """Run a command; a value that cannot be used is told in one line, exit 2."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        machine.refuse_strangers()
        app()
    except (InputError, OSError, ImportError) as error:
        if not (told := failing.told(error)):
            raise
        print(told, file=sys.stderr)
        sys.exit(2)


def _settings(
    data: str, database: str, host: str = "", port: int = 0, root_path: str = ""
) -> Settings:
    given = {"data": data, "database": database, "host": host, "port": port}
    given["root_path"] = root_path
    chosen = {name: value for name, value in given.items() if value}
    if data and database:
        raise InputError("--data", data, "stands beside --database", "one of the two")
    base = setting.read(os.environ)
    if data:
        base = replace(base, database="")
    return replace(base, **chosen)  # type: ignore[arg-type]


def _shop_cache(settings: Settings) -> Path:
    return machine.user_cache(os.environ) if settings.database else Path(settings.data) / "numba"


upkeep.add_to(app, os.environ, _settings, _shop_cache)


def _inputs(
    scenario: Path, weather: Path | None, now: str, plan: Path | None = None
) -> tuple["ScenarioFile", "AirSeries | Unknown", datetime]:
    """A scenario file, the air it names or was given, and the instant it is asked at."""
    machine.keep_compiled_code(os.environ, machine.user_cache(os.environ))
    from service.cli import inputs

    return inputs.read(scenario, weather, now, plan)


def _print_json(content: object) -> None:
    print(json.dumps(content, indent=2, allow_nan=False))


shop_command.add_to(app, _settings)
