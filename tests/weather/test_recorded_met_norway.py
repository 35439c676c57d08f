"""Recorded answers of MET Norway, read by the real provider.

Source: files of public repositories, named one by one in data/recorded/sources.json.
"""

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.air.series import AirSeries
from service.weather import met_norway
from tests.support.raw import JsonDict

HOUR = timedelta(hours=1)
COMPLETE = ("london-complete-2021", "norway-complete-2022-05")


@pytest.fixture(scope="session")
def recorded(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/recorded.py")


def steps(document: JsonDict) -> list[tuple[datetime, JsonDict]]:
    rows = document["properties"]["timeseries"]
    return [(datetime.fromisoformat(row["time"]), row["data"]) for row in rows]


def series(document: JsonDict) -> AirSeries:
    made = datetime.fromisoformat(document["properties"]["meta"]["updated_at"])
    return met_norway.read(json.dumps(document).encode(), made)[0]


@pytest.mark.parametrize("name", COMPLETE)
def test_the_curve_passes_through_the_lowest_and_highest_of_six_hours(
    recorded: ModuleType, name: str
) -> None:
    document = recorded.answer(f"met/{name}")
    air, told = series(document), steps(document)
    under = []
    for (begin, data), (end, _) in zip(told, told[1:], strict=False):
        extremes = data.get("next_6_hours", {}).get("details", {})
        if end - begin != 6 * HOUR or "air_temperature_min" not in extremes:
            continue
        first = round(air.hour_of(begin))
        span = air.air_C[first : first + 7]
        ends = (span[0], span[6])
        assert span.min() == pytest.approx(min(extremes["air_temperature_min"], *ends))
        assert span.max() == pytest.approx(max(extremes["air_temperature_max"], *ends))
        under.append(min(ends) - span.min())
    assert len(under) > 20
    assert max(under) > 2.0, "a night's low lies far under the steps beside it"


@pytest.mark.parametrize("name", COMPLETE)
def test_what_is_told_for_an_hour_is_what_that_hour_has(recorded: ModuleType, name: str) -> None:
    document = recorded.answer(f"met/{name}")
    air = series(document)
    for at, data in steps(document):
        row = round(air.hour_of(at))
        assert air.air_C[row] == data["instant"]["details"]["air_temperature"]
    assert np.isfinite(air.dew_point_C).all()
    assert (air.dew_point_C <= air.air_C + 1e-9).all()


def test_without_extremes_the_curve_stays_between_its_steps(recorded: ModuleType) -> None:
    document = recorded.answer("met/greenwich-compact-2023-07-weather_forcast")
    air, told = series(document), steps(document)
    values = [data["instant"]["details"]["air_temperature"] for _, data in told]
    assert min(values) <= air.air_C.min() <= air.air_C.max() <= max(values)


def test_an_extreme_that_contradicts_its_ends_bends_nothing(recorded: ModuleType) -> None:
    """A low over both ends, and one that nobody ever felt."""
    name = "met/london-complete-2021"
    plain, bent = recorded.answer(name), recorded.answer(name)
    for document, low, high in ((plain, None, None), (bent, 45.0, -45.0)):
        for _, data in steps(document):
            details = data.get("next_6_hours", {}).get("details", {})
            details.pop("air_temperature_min", None)
            details.pop("air_temperature_max", None)
            if low is not None:
                details |= {"air_temperature_min": low, "air_temperature_max": high}
    assert series(bent).air_C == pytest.approx(series(plain).air_C)
    for _, data in steps(bent):
        data.get("next_6_hours", {}).get("details", {})["air_temperature_min"] = -99.0
    assert series(bent).air_C == pytest.approx(series(plain).air_C)


def test_the_low_stands_nearer_to_the_end_that_is_nearer_to_it(recorded: ModuleType) -> None:
    """14.4 at midnight, 14.4 at six: a low of 11 in the middle; from 20 down to 12 it is late."""
    document = recorded.answer("met/london-complete-2021")
    rows = steps(document)
    at = next(k for k in range(len(rows) - 1) if rows[k + 1][0] - rows[k][0] == 6 * HOUR)
    for first, last, hour in ((14.4, 14.4, 3), (20.0, 12.0, 5), (12.0, 20.0, 1)):
        rows[at][1]["instant"]["details"]["air_temperature"] = first
        rows[at + 1][1]["instant"]["details"]["air_temperature"] = last
        details = rows[at][1]["next_6_hours"]["details"]
        details |= {"air_temperature_min": 11.5, "air_temperature_max": max(first, last)}
        air = series(document)
        row = round(air.hour_of(rows[at][0].astimezone(UTC)))
        assert int(np.argmin(air.air_C[row : row + 7])) == hour
