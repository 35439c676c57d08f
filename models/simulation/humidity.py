"""What a hygrometer beside the piece says of the moisture there."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from models.air import members, place, psychrometrics
from models.air.series import HOUR, LOWEST_DEW_C
from models.draws import in_blocks
from models.facts.air import HIGHEST_DEW_C
from models.facts.instruments import (
    HUMIDITY_OWN_SD_K,
    HUMIDITY_ROOM_SD_K,
    HUMIDITY_SHARED_SD_K,
    HUMIDITY_YARD_SD_K,
)
from models.rng import Seed
from models.simulation.scenario import Observation
from models.units import Array


def after_readings(
    site: place.Site, observations: Sequence[Observation], local: place.AtPiece, seed: Seed
) -> place.AtPiece:
    """The dew point at the piece after humidity readings beside it; the air itself stays.

    Members move by the covariance of their error (conditional simulation). What is moved is how far
    the dew point lies under the air: it says the humidity, and hardly changes with temperature.
    Several readings within an hour are one, their mean.

    Source: Gaussian conditioning (Matheron's rule); error model ZHENG_2025; WMO_8 for moist air.
    """
    read = _by_hour(observations, local)
    if not read:
        return local
    row = np.array(list(read))
    fraction = np.array([np.mean(values) for values in read.values()]) / 100.0
    below = local.air_C - local.dew_point_C
    wanted = local.air_C[row] - psychrometrics.dew_point(
        np.clip(local.air_C[row], -60.0, 80.0), fraction[:, None]
    )
    site_sd = HUMIDITY_ROOM_SD_K if site.is_room else HUMIDITY_YARD_SD_K
    error = members.error_covariance(local.error_sd_K, site_sd=site_sd)
    z = in_blocks(seed, len(row) + 1, below.shape[1])
    noise = HUMIDITY_SHARED_SD_K * z[:1] + HUMIDITY_OWN_SD_K * z[1:]
    inner = (
        error[np.ix_(row, row)] + HUMIDITY_SHARED_SD_K**2 + HUMIDITY_OWN_SD_K**2 * np.eye(len(row))
    )
    gain: Array = np.linalg.solve(inner, error[row]).T
    below = np.maximum(below + gain @ (wanted + noise - below[row]), 0.0)
    dew = np.clip(local.air_C - below, LOWEST_DEW_C, HIGHEST_DEW_C)
    return replace(local, dew_point_C=np.minimum(dew, local.air_C))


def _by_hour(observations: Sequence[Observation], local: place.AtPiece) -> dict[int, list[float]]:
    """Humidity readings [%] by the row of the air they fall on."""
    read: dict[int, list[float]] = {}
    for one in observations:
        row = round((one.at - local.start) / HOUR)
        if one.kind == "humidity" and 0 <= row < len(local.air_C):
            read.setdefault(row, []).append(one.value)
    return read
