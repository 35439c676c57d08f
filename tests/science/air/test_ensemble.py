"""A service's own members stand beside the record, hour by hour, and are cut with it."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from models.air import members
from models.air.ensemble import Ensemble
from models.air.series import HOUR, AirSeries
from models.errors import InputError

START = datetime(2025, 3, 1, 6, tzinfo=UTC)
HOURS = 48


@pytest.fixture
def record() -> AirSeries:
    air = 10.0 + np.arange(HOURS) / 10
    same = np.ones(HOURS)
    return AirSeries(
        START,
        air,
        air - 3,
        2 * same,
        0 * same,
        0.5 * same,
        np.nan * same,
        START,
        "made up",
        spread_K=np.linspace(0.5, 2.0, HOURS),
        ensemble=Ensemble(air[:, None] + np.linspace(-2, 2, 9)),
    )


def test_members_and_told_spread_are_cut_with_the_record(record: AirSeries) -> None:
    part = record.between(START + 10 * HOUR, START + 20 * HOUR)
    assert part.ensemble is not None
    np.testing.assert_allclose(part.ensemble.air_C[:, 4], part.air_C)
    assert part.spread_K[0] == record.spread_K[10]
    assert part.spread_factor.tolist() == [1.0] * 11


def test_members_end_where_they_were_served_when_the_record_is_lengthened(
    record: AirSeries,
) -> None:
    longer, known = members.extended(record, 96)
    assert (known, longer.hours) == (HOURS, 96)
    assert longer.ensemble is not None
    assert np.isfinite(longer.ensemble.air_C[:HOURS]).all()
    assert np.isnan(longer.ensemble.air_C[HOURS:]).all()
    assert np.isnan(longer.spread_K[HOURS:]).all()


def test_short_gaps_are_bridged_and_the_members_stay(record: AirSeries) -> None:
    holed = replace(record, air_C=np.where(np.arange(HOURS) == 5, np.nan, record.air_C))
    assert holed.bridged()[0].ensemble is record.ensemble


def test_nothing_is_left_of_a_cut_outside_the_record(record: AirSeries) -> None:
    far = record.between(START + 900 * HOUR, START + 910 * HOUR)
    assert (far.hours, far.ensemble) == (0, None)


def test_what_the_members_do_not_serve_is_missing(record: AirSeries) -> None:
    assert record.ensemble is not None
    assert record.ensemble.rain_mm.shape == (HOURS, 9)
    assert np.isnan(record.ensemble.rain_mm).all()


@pytest.mark.parametrize(
    ("column", "values"),
    [("air_C", 80.0), ("wind_m_s", -1.0), ("cloud_fraction", 1.5), ("dew_point_C", np.inf)],
)
def test_members_that_cannot_be_are_refused(column: str, values: float) -> None:
    columns = {"air_C": np.zeros((4, 3))} | {column: np.full((4, 3), values)}
    with pytest.raises(InputError, match=f"ensemble {column}"):
        Ensemble(**columns)


def test_members_of_other_hours_are_refused(record: AirSeries) -> None:
    with pytest.raises(InputError, match="48 hours"):
        replace(record, ensemble=Ensemble(np.zeros((3, 2))))
    with pytest.raises(InputError, match="ensemble"):
        Ensemble(np.zeros((3, 0)))
    with pytest.raises(InputError, match="ensemble wind_m_s"):
        Ensemble(np.zeros((3, 2)), wind_m_s=np.zeros((3, 1)))


def test_a_spread_that_cannot_be_is_refused(record: AirSeries) -> None:
    with pytest.raises(InputError, match="spread_K"):
        replace(record, spread_K=np.full(HOURS, -1.0))
