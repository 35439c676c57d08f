"""What in a scenario file, and in the weather beside it, is to be asked about before it counts."""

from collections.abc import Iterator
from typing import Any

from models import doubt
from models.air.series import AirSeries
from models.doubt import Doubt
from models.errors import Unknown
from models.simulation.scenario import TEMPERATURE_KINDS, Scenario
from service import region
from service.scenario_file import ScenarioFile, TypedWeather
from service.words import say
from service.words.reader import PLAIN


def of_file(file: ScenarioFile, air: AirSeries | Unknown) -> tuple[Doubt, ...]:
    """Figures that would fit much better in degF or in inches, in the order of the file."""
    return tuple(
        found
        for found in (
            *_weather(file, air),
            *_pour(file.scenario, air),
            *_readings(file, air),
            *measures(file.scenario),
        )
        if found is not None
    )


def _weather(file: ScenarioFile, air: AirSeries | Unknown) -> Iterator[Doubt | None]:
    usual = doubt.expected(file.scenario.placement.at, _position(file.scenario))
    typed = file.weather
    if isinstance(typed, TypedWeather):
        yield doubt.warmth("weather.night_low_C", typed.night_low_C, usual)
        yield doubt.warmth("weather.day_high_C", typed.day_high_C, usual)
    elif isinstance(air, AirSeries) and not air.typical:
        yield doubt.record(f"{air.source}: air_C", air, usual)


def _pour(scenario: Scenario, air: AirSeries | Unknown) -> Iterator[Doubt | None]:
    placement = scenario.placement
    expected = doubt.expected(placement.at, _position(scenario), air)
    for name, kind in (("concrete_C", "placed"), ("bag_C", "room"), ("board_C", "room")):
        value = getattr(placement, name)
        if value is not None:
            limits = [one.of(kind, scenario.site) for one in expected]
            yield doubt.warmth(f"pour.{name}", value, limits, measured=True)


def _readings(file: ScenarioFile, air: AirSeries | Unknown) -> Iterator[Doubt | None]:
    scenario = file.scenario
    for k, reading in enumerate(scenario.observations):
        if reading.kind not in TEMPERATURE_KINDS:
            continue
        near = doubt.expected(reading.at, _position(scenario), air)
        expected = [one.of(reading.kind, scenario.site) for one in near]
        yield doubt.warmth(f"reading[{k}].value", reading.value, expected, measured=True)
        if reading.value_max is not None:
            yield doubt.warmth(f"reading[{k}].value[1]", reading.value_max, expected, measured=True)


def _position(scenario: Scenario) -> tuple[float, float] | None:
    site = scenario.site
    return region.position_of(site.latitude, site.longitude, site.timezone)


def measures(scenario: Scenario) -> Iterator[Doubt | None]:
    """The lengths of a piece and of its mould."""
    for name in ("length_mm", "width_mm", "thickness_mm", "height_mm", "wall_mm"):
        value = getattr(scenario.shape, name)
        if value is not None:
            yield doubt.length(f"piece.{name}", value)


def as_json(found: Doubt) -> dict[str, Any]:
    """A doubt as the notes of an answer tell it."""
    return {
        "code": doubt.CODE,
        "field": found.field,
        "value": found.value,
        "other_unit_value": found.other,
        "other_unit": found.other_unit,
        "text": say(found.message, PLAIN),
    }
