"""Cold air that gathers where it cannot drain: a hollow on clear, calm nights."""

from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from models.air import sky
from models.air.series import HOUR
from models.draws import Draws
from models.facts.air import (
    HOLLOW_CALM_M_S,
    HOLLOW_GONE_DEG,
    HOLLOW_K,
    HOLLOW_SPREAD,
)
from models.units import Array

HOLLOWS = tuple(HOLLOW_K)


def night(start: datetime, hours: int, latitude: float, longitude: float) -> Array:
    """Share of the night's cold pool that the sun leaves at each hour, (hours,) 0 to 1: whole with
    the sun under the horizon, none when it is up.

    latitude, longitude : [degrees], north and east positive

    Source: JEMMETT_SMITH_2014 (pools form around sunset and mostly decay soon after sunrise).
    """
    days = (start - sky.J2000).total_seconds() / 86400 + np.arange(hours) / 24
    up = sky.sun_elevation(days, latitude, longitude)
    left: Array = np.clip(1 - up / HOLLOW_GONE_DEG, 0.0, 1.0)
    return left


def zone_longitude(timezone: str, at: datetime) -> float:
    """Longitude at which the sun keeps the standard clock of a zone [degrees east].

    Source: definition of zone time, 15 degrees an hour.
    """
    offset = at.astimezone(ZoneInfo(timezone)).utcoffset()
    assert offset is not None
    return float(np.clip(15.0 * (offset / HOUR), -180.0, 180.0))


def colder_K(told: str, dark: Array, cloud_fraction: Array, wind_m_s: Array, draws: Draws) -> Array:
    """By how much the air of a hollow is colder than around, (hours, members) [K], never under 0.

    depth x night x (1 - cloud) / (1 + (wind / 3 m/s)^2), the depth drawn for each member.

    told : no, a little, a hollow; dark : (hours,) 0 to 1; cloud_fraction 0 to 1 and wind_m_s [m/s]
    at 10 m, (hours, members)

    Source: JEMMETT_SMITH_2014 for depth, wind and cloud, HOCEVAR_MARTSOLF_1971 for its height;
    the form is OWN_JUDGEMENT.
    """
    depth = HOLLOW_K[told] * np.exp(HOLLOW_SPREAD * draws.normal("hollow"))
    calm = 1 / (1 + (wind_m_s / HOLLOW_CALM_M_S) ** 2)
    colder: Array = depth * dark[:, None] * (1 - cloud_fraction) * calm
    return colder
