"""Sun on a horizontal face, long-wave loss to the sky, and convection in wind."""

from datetime import UTC, datetime

import numpy as np
from numpy.typing import ArrayLike

from models.facts import air as facts
from models.units import KELVIN, STEFAN_BOLTZMANN_W_M2K4, Array, within

STEP_D = 1 / 144
J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)


def sun_elevation(days_since_2000: ArrayLike, latitude_deg: float, longitude_deg: float) -> Array:
    """Elevation of the sun's centre over the horizon, without refraction [degrees].

    days_since_2000, latitude_deg, longitude_deg and errors as of `sun_position`
    Source: the Astronomical Almanac, as there.
    """
    return sun_position(days_since_2000, latitude_deg, longitude_deg)[0]


def sun_position(
    days_since_2000: ArrayLike, latitude_deg: float, longitude_deg: float
) -> tuple[Array, Array]:
    """Elevation of the sun's centre over the horizon, without refraction, and its azimuth, east of
    north [degrees].

    days_since_2000 : any shape [days, UTC] since 2000-01-01 12:00
    latitude_deg, longitude_deg : [degrees], north and east positive

    Raises InputError for places off the globe.
    Source: low-precision formulas of the Astronomical Almanac; agrees with pvlib
    within 0.012 degrees over a year (tests/published/test_pvlib.py holds it).
    """
    n = np.asarray(days_since_2000, dtype=np.float64)
    lat = np.radians(within("latitude_deg", latitude_deg, -90.0, 90.0))
    lon = float(within("longitude_deg", longitude_deg, -180.0, 180.0))
    mean_longitude = np.radians((facts.SUN_LONGITUDE[0] + facts.SUN_LONGITUDE[1] * n) % 360)
    anomaly = np.radians((facts.SUN_ANOMALY[0] + facts.SUN_ANOMALY[1] * n) % 360)
    once, twice = facts.SUN_CENTRE
    ecliptic = mean_longitude + np.radians(once * np.sin(anomaly) + twice * np.sin(2 * anomaly))
    obliquity = np.radians(facts.OBLIQUITY[0] + facts.OBLIQUITY[1] * n)
    right_ascension = np.arctan2(np.cos(obliquity) * np.sin(ecliptic), np.cos(ecliptic))
    declination = np.arcsin(np.sin(obliquity) * np.sin(ecliptic))
    sidereal = np.radians(((facts.SIDEREAL_H[0] + facts.SIDEREAL_H[1] * n) * 15 + lon) % 360)
    hour_angle = sidereal - right_ascension
    up, aside = np.sin(declination), np.cos(declination) * np.cos(hour_angle)
    sine = np.sin(lat) * up + np.cos(lat) * aside
    elevation: Array = np.degrees(np.arcsin(np.clip(sine, -1.0, 1.0)))
    east = -np.cos(declination) * np.sin(hour_angle)
    azimuth: Array = np.degrees(np.arctan2(east, np.cos(lat) * up - np.sin(lat) * aside)) % 360
    return elevation, azimuth


def sinks_through(
    elevation_deg: float, begin: float, end: float, latitude_deg: float, longitude_deg: float
) -> Array:
    """Instants at which the sun's centre sinks through an elevation [days since 2000-01-01 12:00].

    elevation_deg : [degrees], SUNSET_DEG for sunset, CIVIL_DUSK_DEG for the end of usable light
    begin, end : [days, UTC] since 2000-01-01 12:00
    latitude_deg, longitude_deg : [degrees], north and east positive

    One a day, none in a polar day or night; within a minute of pvlib between the polar circles.
    Raises InputError for places off the globe.
    Source: USNO_SUN for the elevation; straight lines between every ten minutes.
    """
    days = np.arange(begin, end + STEP_D, STEP_D)
    over = sun_elevation(days, latitude_deg, longitude_deg) - elevation_deg
    k = np.flatnonzero((over[:-1] > 0) & (over[1:] <= 0))
    sunk: Array = days[k] + STEP_D * over[k] / (over[k] - over[k + 1])
    return sunk


def clear_sky_irradiance(elevation_deg: ArrayLike) -> Array:
    """Global horizontal irradiance under a clear sky [W/m2].

    GHI = 1098 cos z exp(-0.059 / cos z), 0 with the sun down.

    elevation_deg : any shape [degrees], -90 to 90

    Raises InputError outside the range.
    Source: HAURWITZ_1945.
    """
    e = within("elevation_deg", elevation_deg, -90.0, 90.0, "degrees")
    cos_z = np.sin(np.radians(np.maximum(e, 0.0)))
    safe = np.maximum(cos_z, 1e-6)
    whole, dims = facts.HAURWITZ
    return np.where(cos_z > 0, whole * cos_z * np.exp(-dims / safe), 0.0)


def cloudy_irradiance(clear_W_m2: ArrayLike, cloud_fraction: ArrayLike) -> Array:
    """Global irradiance under cloud [W/m2]: clear x (1 - 0.75 n^3.4).

    clear_W_m2 : any shape [W/m2], 0 to 1400
    cloud_fraction : dimensionless, 0 to 1

    Raises InputError outside the ranges.
    Source: KASTEN_CZEPLAK_1980.
    """
    clear = within("clear_W_m2", clear_W_m2, 0.0, 1400.0, "W/m2")
    n = within("cloud_fraction", cloud_fraction, 0.0, 1.0)
    most, power = facts.CLOUD_DIMS
    return clear * (1 - most * n**power)


def sky_emissivity(
    dew_point_C: ArrayLike, cloud_fraction: ArrayLike, apart: float | Array = 0.0
) -> Array:
    """Emissivity of the sky, dimensionless, no more than 1.

    (0.787 + 0.764 ln(Td / 273)) (1 + 0.0224 N - 0.0035 N2 + 0.00028 N3), N tenths of cloud.

    dew_point_C : any shape [degC], -80 to 40
    cloud_fraction : dimensionless, 0 to 1
    apart : dimensionless, by how much the sky differs from the formula

    Raises InputError outside the ranges.
    Source: ASHRAE_NIGHT_SKY.

    >>> float(sky_emissivity(9.85, 0.0).round(3))
    0.814
    """
    Td = within("dew_point_C", dew_point_C, -80.0, 40.0, "degC") + KELVIN
    N = 10 * within("cloud_fraction", cloud_fraction, 0.0, 1.0)
    dry, moist = facts.SKY_CLEAR
    clear = dry + moist * np.log(Td / 273.0)
    a, b, c = facts.SKY_CLOUD
    return np.minimum(clear * (1 + a * N + b * N**2 + c * N**3) + apart, 1.0)


def net_sky_loss(
    air_C: ArrayLike,
    dew_point_C: ArrayLike,
    cloud_fraction: ArrayLike,
    emissivity: float,
    apart: float | Array = 0.0,
) -> Array:
    """Long-wave loss to the sky of a horizontal face at air temperature [W/m2].

    eps sigma Ta^4 (1 - eps_sky).

    air_C, dew_point_C : broadcastable [degC], -80 to 90 and -80 to 40
    cloud_fraction : dimensionless, 0 to 1
    emissivity : dimensionless, 0 to 1; apart : that of the sky, as there

    Raises InputError outside the ranges.
    Source: ASHRAE_NIGHT_SKY.
    """
    Ta = within("air_C", air_C, -80.0, 90.0, "degC") + KELVIN
    eps = within("emissivity", emissivity, 0.0, 1.0)
    sky = sky_emissivity(dew_point_C, cloud_fraction, apart)
    return eps * STEFAN_BOLTZMANN_W_M2K4 * Ta**4 * (1 - sky)


def convection(wind_m_s: ArrayLike) -> Array:
    """Convective film coefficient of a face in wind [W/m2K].

    5.6 + 4.0 v to 5 m/s, 7.2 v^0.78 above.

    The two branches differ by 1 % at 5 m/s; the larger is taken, so it never falls with wind.

    wind_m_s : any shape [m/s] at the face, 0 to 75

    Raises InputError outside the range.
    Source: BENTZ_NISTIR_6551 (numbers from memory); within 8 % of MCADAMS_1954 to 8 m/s.

    >>> float(convection(2.0))
    13.6
    """
    v = within("wind_m_s", wind_m_s, 0.0, 75.0, "m/s")
    calm, more, windy, power, turn = facts.FILM
    low, high = calm + more * np.minimum(v, turn), windy * np.maximum(v, turn) ** power
    return np.where(v <= turn, low, np.maximum(high, calm + more * turn))


def radiative_coefficient(air_C: ArrayLike, emissivity: float) -> Array:
    """Linear long-wave coefficient of a face near air temperature [W/m2K]: 4 eps sigma T^3.

    air_C : any shape [degC], -80 to 90
    emissivity : dimensionless, 0 to 1

    Raises InputError outside the ranges.
    Source: Stefan-Boltzmann law (CODATA 2018 constant).

    >>> float(radiative_coefficient(20.0, 0.9).round(2))
    5.14
    """
    T = within("air_C", air_C, -80.0, 90.0, "degC") + KELVIN
    return 4 * within("emissivity", emissivity, 0.0, 1.0) * STEFAN_BOLTZMANN_W_M2K4 * T**3
