"""The sun of each member on level and standing faces, and by how much a sunlit face is warmer."""

from datetime import datetime

import numpy as np

from models._jit import kernel
from models.air import sky
from models.air.members import AirMembers
from models.facts import air as facts
from models.units import Array

FACES = LYING, STANDING, BLOCK = "lying", "standing", "block"
SKY_VIEW = {LYING: 1.0, STANDING: 0.5, BLOCK: 1.0}  # fraction of the sky that a face sees
LOOKS_DEG = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}


def sun_of(north: float | None, east: float | None, outdoor: AirMembers) -> Array:
    """Global irradiance of a level face, mean of the hour that begins there [W/m2], (hours,
    members); 0 where neither record nor place gives it.

    north, east : [degrees], None where the place is not told

    Source: HAURWITZ_1945 and KASTEN_CZEPLAK_1980 where no service tells it.
    """
    hours, given = outdoor.air_C.shape[0], outdoor.shortwave_W_m2
    if north is None or east is None:
        return np.where(np.isnan(given), 0.0, given)
    clear = sky.clear_sky_irradiance(sky.sun_elevation(_middle(outdoor.start, hours), north, east))
    from_cloud = sky.cloudy_irradiance(clear[:, None], outdoor.cloud_fraction)
    return np.where(np.isnan(given), from_cloud, given)


def _middle(start: datetime, hours: int) -> Array:
    """The middle of each hour [days since 2000-01-01 12:00], (hours,)."""
    return (start - sky.J2000).total_seconds() / 86400 + (np.arange(hours) + 0.5) / 24


def on_faces(
    level_W_m2: Array,
    start: datetime,
    at: tuple[float | None, float | None],
    faces: str,
    looks: str | None = None,
) -> tuple[Array, Array]:
    """Sun on the face that gets least of it, by which a piece is judged, and on the one that gets
    most [W/m2], (hours, members) each.

    level_W_m2 : (hours, members) [W/m2] on a level face, means of the hours from `start` on
    at : north and east [degrees], None: not told; the sun is then taken to stand low or high
    faces : lying, one level face; standing, all round; block, a level one and such all round
    looks : where a standing face looks, a key of LOOKS_DEG; None: one of them towards the sun

    Source: ERBS_1982 for the share of the sky; ALBEDO of the ground before a standing face.
    """
    north, east = at
    if faces == LYING:
        return level_W_m2, level_W_m2
    if north is None or east is None:
        shaded, lit = 0.5 * level_W_m2, level_W_m2
    else:
        shaded, lit = on_walls(level_W_m2, _middle(start, len(level_W_m2)), north, east, looks)
    if faces == BLOCK:
        return level_W_m2, np.maximum(level_W_m2, lit)
    return shaded, lit


def on_walls(
    level_W_m2: Array, days: Array, north: float, east: float, looks: str | None = None
) -> tuple[Array, Array]:
    """Sun on a standing face without direct sun, and on one that looks somewhere [W/m2], (hours,
    members) each. days : (hours,) since 2000-01-01 12:00; else as in `on_faces`

    Source: ERBS_1982; ALBEDO.
    """
    elevation, azimuth = sky.sun_position(days, north, east)
    sine = np.sin(np.radians(elevation))
    outside = facts.SOLAR_CONSTANT_W_M2 * (
        1 + facts.ORBIT * np.cos(2 * np.pi * (days - 2) / 365.25)
    )
    through = level_W_m2 / (outside * np.maximum(sine, facts.LOW_SUN_SINE))[:, None]
    diffuse = np.where(
        (elevation > facts.LOW_SUN_DEG)[:, None], diffuse_share(through) * level_W_m2, level_W_m2
    )
    shaded = 0.5 * (diffuse + facts.ALBEDO * level_W_m2)
    towards = np.cos(np.radians(elevation))
    if looks is not None:
        aside = np.radians(azimuth - LOOKS_DEG[looks])
        towards = towards * np.maximum(np.cos(aside), 0.0)
    beam = (level_W_m2 - diffuse) / np.maximum(sine, facts.LOW_SUN_SINE)[:, None]
    lit: Array = shaded + np.minimum(beam, outside[:, None]) * towards[:, None]
    return shaded, lit


def diffuse_share(through: Array) -> Array:
    """Share of the sun on a level face that comes from the whole sky, dimensionless.

    through : any shape, dimensionless, the share of the sun outside the air that comes through

    Source: ERBS_1982.
    """
    kt = np.clip(through, 0.0, 1.0)
    low, high = facts.ERBS_KT
    between = np.asarray(np.polynomial.polynomial.polyval(kt, facts.ERBS))
    share = np.where(kt <= low, 1 - facts.ERBS_LOW * kt, between)
    return np.where(kt > high, facts.ERBS_HIGH, share)


def at_the_hour(mean_W_m2: Array) -> Array:
    """At each whole hour the mean of the hours before and after, (hours, members) [W/m2].

    Source: definition.
    """
    there = mean_W_m2.copy()
    there[1:] = 0.5 * (mean_W_m2[1:] + mean_W_m2[:-1])
    return there


def warmer_K(
    more_W_m2: Array,
    film_W_m2K: Array,
    low_film_W_m2K: Array,
    thick_m: float,
    k_W_mK: float,
    capacity_J_m3K: float,
) -> Array:
    """By how much a bare face is warmer that takes in more sun than another [K], (hours, members).

    The section as one lump whose profile is a parabola, exact for sun that is even in each hour:
    rc t dT/dt = F0 - F1, F0 = q - h1 Tface, F1 = h2 Tback, Tface = T + t (2 F0 + F1) / 6k.

    more_W_m2 : (hours, members) [W/m2] taken in, means of hours; films (hours, members) [W/m2K]
    thick_m, k_W_mK, capacity_J_m3K : of the section

    Source: Fourier's law for a profile that keeps its shape; within a tenth of a solve of walls.
    """
    h1, h2, r = film_W_m2K, low_film_W_m2K, thick_m / (6 * k_W_mK)
    a, b = h1 * r, h2 * r
    det = (1 + 2 * a) * (1 + 2 * b) - a * b
    lets_go = h1 * (1 + 3 * b) + h2 * (1 + 3 * a)
    keeps = np.exp(-3600.0 * lets_go / (capacity_J_m3K * thick_m * det))
    mean_K = _lagged(more_W_m2 * (1 + 3 * b) / lets_go, keeps)
    into = at_the_hour(more_W_m2) - h1 * mean_K
    front = (into * (1 + 2 * b) - a * h2 * mean_K) / det
    back = ((1 + 2 * a) * h2 * mean_K - b * into) / det
    face_K: Array = mean_K + r * (2 * front + back)
    return face_K


@kernel
def _lagged(towards: Array, keeps: Array) -> Array:
    """First-order lag from nothing on: row h from row h - 1 towards what stood in that hour."""
    out = np.zeros_like(towards)
    for h in range(1, towards.shape[0]):
        for m in range(towards.shape[1]):
            keep = keeps[h - 1, m]
            out[h, m] = keep * out[h - 1, m] + (1 - keep) * towards[h - 1, m]
    return out
