"""Sun on standing faces by pvlib, and how warm a wall gets in it by a solve of its own.

Source     PyPI pvlib: erbs, isotropic get_total_irradiance, solar position; finite volumes over
           the wall, here.
Page says  diffuse share, irradiance of walls that look north, east, south and west through October.
Status     library; solved.
Tolerance  0.002 of the share; 8 W/m2 of a wall, since the sun is placed to a hundredth of a degree
           and its distance by one cosine; a tenth of what the face is warmer.
"""

import numpy as np
import pandas as pd
import pvlib
import pytest
from scipy.linalg import expm

from models.air import sky, sun
from models.facts.air import ALBEDO, SOLAR_CONSTANT_W_M2
from models.units import Array

AT = (45.0, -74.0)
HOURS = pd.date_range("2025-10-10", periods=240, freq="h", tz="UTC") + pd.Timedelta("30min")
DAYS = np.asarray((HOURS - pd.Timestamp(sky.J2000)).total_seconds()) / 86400
SEEN = pvlib.solarposition.get_solarposition(HOURS, *AT)


def test_the_share_of_the_sky_is_that_of_erbs() -> None:
    through = np.linspace(0.0, 1.0, 401)
    level = through * SOLAR_CONSTANT_W_M2 * np.cos(np.radians(30.0))
    theirs = pvlib.irradiance.erbs(level, 30.0, dni_extra_at_mean(), max_zenith=89)
    share = np.divide(theirs["dhi"], level, out=np.ones_like(level), where=level > 0)
    assert sun.diffuse_share(theirs["kt"]) == pytest.approx(share, abs=0.002)


def dni_extra_at_mean() -> int:
    """Day of the year on which the sun is as far away as in its mean."""
    days = np.arange(1, 366)
    extra = pvlib.irradiance.get_extra_radiation(days, SOLAR_CONSTANT_W_M2)
    return int(days[np.abs(extra - SOLAR_CONSTANT_W_M2).argmin()])


@pytest.mark.parametrize("dimmed", [1.0, 0.6, 0.25])
@pytest.mark.parametrize("looks", ["north", "east", "south", "west"])
def test_a_wall_gets_direct_and_diffuse_sun_by_where_it_looks(looks: str, dimmed: float) -> None:
    level = dimmed * np.asarray(pvlib.clearsky.haurwitz(SEEN["zenith"])["ghi"])
    parts = pvlib.irradiance.erbs(level, SEEN["zenith"].to_numpy(), HOURS.day_of_year.to_numpy())
    theirs = pvlib.irradiance.get_total_irradiance(
        90.0,
        sun.LOOKS_DEG[looks],
        SEEN["zenith"].to_numpy(),
        SEEN["azimuth"].to_numpy(),
        parts["dni"],
        level,
        parts["dhi"],
        albedo=ALBEDO,
    )
    _, lit = sun.on_walls(level[:, None], DAYS, *AT, looks)
    assert lit[:, 0] == pytest.approx(np.asarray(theirs["poa_global"]), abs=8.0)


def test_a_south_face_in_october_gets_more_than_twice_the_half_of_a_level_one() -> None:
    level = np.asarray(pvlib.clearsky.haurwitz(SEEN["zenith"])["ghi"])[:, None]
    shaded, lit = sun.on_walls(level, DAYS, *AT, "south")
    noon = int(level.argmax())
    assert float(level[noon, 0]) / 2 == pytest.approx(298.0, abs=25.0)  # what it was given before
    assert float(lit[noon, 0]) > 672.0
    assert float(shaded[noon, 0]) < 200.0
    _, towards = sun.on_walls(level, DAYS, *AT)
    assert (towards >= lit - 1e-9).all()


def solved(taken_in: Array, film: float, low_film: float, thick_m: float) -> Array:
    """Face of a wall over still air at nought [K] at each hour: 40 cells, sun even in each hour, by
    the exponential of its matrix."""
    cells, k, rc = 40, 2.0, 2350e3
    dx = thick_m / cells
    through = np.full(cells - 1, k / dx)
    front, back = 1 / (1 / film + dx / 2 / k), 1 / (1 / low_film + dx / 2 / k)
    loses = np.concatenate(([front], through)) + np.concatenate((through, [back]))
    rate = (np.diag(through, 1) + np.diag(through, -1) - np.diag(loses)) / (rc * dx)
    source = np.zeros(cells)
    source[0] = front / film / (rc * dx)
    hour = expm(3600.0 * rate)
    gain = np.linalg.solve(rate, (hour - np.eye(cells)) @ source)
    T, inside = np.zeros(cells), [0.0]
    for q in taken_in[:-1]:
        T = hour @ T + gain * q
        inside.append(float(T[0]))
    at_hour = np.concatenate((taken_in[:1], 0.5 * (taken_in[1:] + taken_in[:-1])))
    return (np.array(inside) * 2 * k / dx + at_hour) / (2 * k / dx + film)


@pytest.mark.parametrize("thick_m", [0.02, 0.05, 0.12])
@pytest.mark.parametrize(("film", "low_film"), [(11.0, 9.0), (20.0, 13.0)])
def test_a_sunlit_wall_is_as_much_warmer_as_it_solves(
    thick_m: float, film: float, low_film: float
) -> None:
    level = np.asarray(pvlib.clearsky.haurwitz(SEEN["zenith"])["ghi"])[:, None]
    shaded, lit = sun.on_walls(level, DAYS, *AT, "south")
    taken_in = 0.65 * (lit - shaded)[:72]
    same = np.ones_like(taken_in)
    told = sun.warmer_K(taken_in, film * same, low_film * same, thick_m, 2.0, 2350e3)[:, 0]
    want = solved(taken_in[:, 0], film, low_film, thick_m)
    assert want.max() > 9.0
    assert told.max() == pytest.approx(want.max(), rel=0.1)
    assert told == pytest.approx(want, abs=0.2 * want.max())
