"""What a place and a season can have, held against hourly records that were measured there."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType

import numpy as np
import pvlib
import pytest

from models.air.normals import normal

TMY = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"


@pytest.mark.parametrize("station", ["EWR", "JFK", "LGA"])
def test_hardly_an_hour_of_2013_lies_outside_what_the_season_has(
    loaded: Callable[[str], ModuleType], station: str
) -> None:
    record = loaded("replays/record_2013.py")
    latitude, longitude = record.position(station)
    offs, means = [], []
    for at, told in record._all()[station].items():
        if "air_C" in told:
            usual = normal(latitude, longitude, at)
            offs.append(float(usual.off(told["air_C"])))
            means.append(told["air_C"] - usual.mean_C)
    assert np.mean(np.array(offs) > 1.5) < 0.01  # one of the file is impossible: 13 F on a May day
    assert np.quantile(offs, 0.9999) < 3.0
    assert abs(np.mean(means)) < 1.0


def test_the_typical_year_of_greensboro_lies_within_it() -> None:
    year, site = pvlib.iotools.read_tmy3(TMY, map_variables=True)
    offs = [
        float(normal(site["latitude"], site["longitude"], at.to_pydatetime()).off(air))
        for at, air in zip(year.index[::5], year["temp_air"][::5], strict=True)
    ]
    assert max(offs) < 3.0


def test_the_south_is_warm_in_january_and_coasts_are_milder_than_plains() -> None:
    january = datetime(2026, 1, 15, tzinfo=UTC)
    assert normal(-33.9, 151.2, january).mean_C > 20.0
    assert normal(51.5, 0.0, january).mean_C > 3.0
    assert normal(51.0, -105.0, january).mean_C < -8.0


def test_fahrenheit_of_a_frosty_night_is_beyond_what_minnesota_has() -> None:
    usual = normal(44.0, -92.0, datetime(2026, 11, 24, tzinfo=UTC))
    assert usual.off(34.0) > 3.0
    assert usual.off(1.1) == 0.0
    assert max(usual.off(-28.0), usual.off(20.0)) < 3.5 < usual.off(34.0)
