"""Dew point, humidity and wet bulb as another implementation gives them."""

import numpy as np

from models.air import psychrometrics
from models.concrete import heat
from models.units import Array
from tests.published.register.check import Check
from tests.support import sections

DEW_POINT_C = {  # (air C, humidity %): digits of the library
    (20.0, 50.0): 9.2724,
    (20.0, 85.0): 17.4027,
    (30.0, 40.0): 14.9358,
    (35.0, 25.0): 12.0471,
}
WET_BULB_C = {
    (5.0, 60.0): 2.1151,
    (20.0, 50.0): 13.7834,
    (30.0, 40.0): 20.0640,
    (35.0, 25.0): 20.2296,
}
HUMIDITY_PCT = {(20.0, 9.26): 49.9583, (35.0, 30.0): 75.4472}
HOURS = 60


def wet_face_C(air_C: float, rh_pct: float) -> float:
    """Where a bare wet slab without sun or sky settles."""

    def one(value: float) -> Array:
        return np.array([value])

    same = np.ones((HOURS + 2, 1))
    vapour = float(psychrometrics.saturation_pressure(air_C)) * rh_pct / 100
    slab = heat.temperature(
        heat.Column(20.0),
        heat.Schedule(
            one(0.0),
            one(0.0),
            one(1e9),
            one(1e9),
            one(0.0),
            one(0.0),
            one(1.0),
            one(np.nan),
            one(np.nan),
        ),
        heat.Exposure(
            0.0, 20 * same, 20 * same, 20 * same, air_C * same, air_C * same, vapour * same
        ),
        sections.inert(),
        one(air_C),
        HOURS,
    )
    return float(slab.top_C[-1, 0])


def _dew(air_C: float, rh_pct: float, dew_C: float) -> Check:
    return Check(
        "PSYCHROLIB",
        f"dew point at {air_C:g} degC, {rh_pct:g} %",
        "degC",
        dew_C,
        lambda: float(psychrometrics.dew_point(air_C, rh_pct / 100)),
        "0.05",
        "library",
        "GetTDewPointFromRelHum",
    )


def _humidity(air_C: float, dew_C: float, pct: float) -> Check:
    return Check(
        "PSYCHROLIB",
        f"humidity at {air_C:g} degC, dew point {dew_C:g} degC",
        "%",
        pct,
        lambda: 100 * float(psychrometrics.rh_fraction(air_C, dew_C)),
        "0.3",
        "library",
        "GetRelHumFromTDewPoint",
    )


def _wet(air_C: float, rh_pct: float, wet_C: float) -> Check:
    return Check(
        "PSYCHROLIB",
        f"wet bulb at {air_C:g} degC, {rh_pct:g} %",
        "degC",
        wet_C,
        lambda: wet_face_C(air_C, rh_pct),
        "0.15",
        "library",
        "GetTWetBulbFromRelHum at 101 325 Pa; ours is a bare wet slab come to rest",
    )


CHECKS = (
    *(_dew(*state, dew) for state, dew in DEW_POINT_C.items()),
    *(_humidity(*state, pct) for state, pct in HUMIDITY_PCT.items()),
    *(_wet(*state, wet) for state, wet in WET_BULB_C.items()),
)
