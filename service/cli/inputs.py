"""What a command is asked about: a scenario, its air, an instant."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from models.errors import InputError, Unknown

if TYPE_CHECKING:
    from models.air.series import AirSeries
    from service.scenario_file import ScenarioFile


def read(
    scenario: Path, weather: Path | None, now: str, plan: Path | None = None
) -> tuple["ScenarioFile", "AirSeries | Unknown", datetime]:
    """A scenario file, the air it names or was given, and the instant it is asked at."""
    from models import instants
    from models.simulation import plan as plans
    from service import scenario_file
    from service.cli import scenario_air

    file = scenario_file.read(scenario)
    if plan is not None:
        meant = scenario_file.read_plan(plan)
        file = replace(file, scenario=replace(file.scenario, plan=meant))
    instant = instants.instant("--now", now) if now else file.asked_at or datetime.now(UTC)
    with placed(scenario):
        file.scenario.checked_against(instant)
        file.scenario.checked_order()
        plans.told(file.scenario)
    return file, scenario_air.of(file, weather, instant), instant


@contextmanager
def placed(scenario: Path) -> Iterator[None]:
    """What the science refuses is told with the name of the file."""
    try:
        yield
    except InputError as error:
        raise error.at(error.where or scenario.name) from None
