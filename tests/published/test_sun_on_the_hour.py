"""The sun that heats a face stands where it stands in the sky, hour by hour.

Source     PyPI pvlib: NREL solar position, clear sky of Haurwitz; open-meteo.com/en/docs: solar
           radiation is averaged over the past hour.
Page says  the irradiance of a level face at each whole hour of a clear day.
Status     library.
Tolerance  15 W/m2 while the sun gives more than 100, 1 % of the day's sum; half an hour is 60 W/m2.
           Means of an hour smear the beginning and the end of a day.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pandas as pd
import pvlib
import pytest

from models.air import members, place
from models.air.series import AirSeries
from models.facts.materials import ABSORPTANCE
from models.simulation import stays
from service.weather import open_meteo

AT = (41.5, -74.0)
START = datetime(2025, 10, 12, tzinfo=UTC)
HOURS = 72


def clear(times: pd.DatetimeIndex) -> np.ndarray:
    zenith = pvlib.solarposition.get_solarposition(times, *AT)["zenith"]
    return np.asarray(pvlib.clearsky.haurwitz(zenith)["ghi"])


def told(with_sun: bool) -> AirSeries:
    """A clear record as a service answers it: the sun as the mean of the hour before its time."""
    times = [(START + timedelta(hours=k)).strftime("%Y-%m-%dT%H:%M") for k in range(HOURS)]
    minutes = pd.date_range(START, periods=60 * HOURS, freq="min") - pd.Timedelta("59.5min")
    hourly: dict[str, Any] = {"time": times, "temperature_2m": [10.0] * HOURS}
    hourly |= {"dew_point_2m": [5.0] * HOURS, "wind_speed_10m": [2.0] * HOURS}
    hourly |= {"cloud_cover": [0.0] * HOURS, "precipitation": [0.0] * HOURS}
    if with_sun:
        hourly["shortwave_radiation"] = clear(minutes).reshape(HOURS, 60).mean(axis=1).tolist()
    units = {"temperature_2m": "°C", "dew_point_2m": "°C", "wind_speed_10m": "m/s"}
    units |= {"cloud_cover": "%", "precipitation": "mm", "shortwave_radiation": "W/m²"}
    answer = {"hourly": hourly, "hourly_units": units, "utc_offset_seconds": 0}
    frame, columns = open_meteo.columns_of(answer, 10_000, "made up", [])
    names = ("air_C", "dew_point_C", "wind_m_s", "rain_mm", "cloud_fraction", "shortwave_W_m2")
    known: dict[str, Any] = {name: columns[name] for name in names}
    return AirSeries(start=frame.start, issued_at=START, source="made up", **known)


@pytest.mark.parametrize("with_sun", [True, False])
def test_a_face_is_given_the_sun_of_each_hour_at_that_hour(with_sun: bool) -> None:
    outdoor = members.draw(told(with_sun), 64)
    if not with_sun:
        outdoor.cloud_fraction[:] = 0.0
    local = place.at_piece(place.Site("open yard", *AT), outdoor)
    felt = stays.exposure(local, 0.0)
    open_to_it = local.sun_W_m2.max(axis=0) > 0.9 * local.sun_W_m2.max()
    given = (felt.sol_C - felt.air_C) * felt.film_top + local.sky_loss_W_m2
    sun = given[:, open_to_it] / ABSORPTANCE["grey"]
    hours = np.arange(24, 48)
    wanted = clear(pd.date_range(START, periods=HOURS, freq="h"))[hours]
    got, up = sun[hours].mean(axis=1), wanted > 100.0
    assert got[up] == pytest.approx(wanted[up], abs=15.0)
    assert got.sum() == pytest.approx(wanted.sum(), rel=0.01)
