"""The sun of each member, from what a service tells or from cloud."""

import numpy as np

from models.air import sky
from models.air.members import AirMembers
from models.units import Array


def sun_of(north: float | None, east: float | None, outdoor: AirMembers) -> Array:
    """Global irradiance of a level face, mean of the hour that begins there [W/m2], (hours,
    members); 0 where neither record nor place gives it.

    north, east : [degrees], None where the place is not told

    Source: HAURWITZ_1945 and KASTEN_CZEPLAK_1980 where no service tells it.
    """
    hours, given = outdoor.air_C.shape[0], outdoor.shortwave_W_m2
    if north is None or east is None:
        return np.where(np.isnan(given), 0.0, given)
    days = (outdoor.start - sky.J2000).total_seconds() / 86400 + (np.arange(hours) + 0.5) / 24
    clear = sky.clear_sky_irradiance(sky.sun_elevation(days, north, east))
    from_cloud = sky.cloudy_irradiance(clear[:, None], outdoor.cloud_fraction)
    return np.where(np.isnan(given), from_cloud, given)
