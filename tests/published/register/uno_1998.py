"""Evaporation from a wet face in one equation."""

import numpy as np

from models.air import evaporation, psychrometrics
from models.coating.film import SealerSystem
from models.steps import seal
from tests.published.register.check import Check

KG_M2_PER_LB_FT2 = 4.882428
ARITHMETIC = "arithmetic on the printed equation"
ROWS = (  # concrete C, air C, humidity %, wind km/h, kg/m2h
    (31.0, 27.0, 50.0, 19.0, 1.152),
    (20.0, 20.0, 60.0, 10.0, 0.249),
    (20.0, 20.0, 50.0, 0.0, 0.089),
    (20.0, 5.0, 60.0, 20.0, 0.886),
    (32.0, 35.0, 25.0, 15.0, 1.194),
    (25.0, 25.0, 50.0, 10.0, 0.424),
    (30.0, 30.0, 40.0, 20.0, 1.149),
    (22.0, 10.0, 70.0, 15.0, 0.685),
    (25.0, 30.0, 60.0, 5.0, 0.115),
)
STILL_AIR = ((25.0, 50.0, 0.1212), (20.0, 65.0, 0.0623), (10.0, 85.0, 0.0124))

DRYING = (  # face C, air C, humidity %, time to lose the water against 20 degC and 50 %
    (25.0, 25.0, 50.0, 0.73),
    (20.0, 20.0, 65.0, 1.43),
    (10.0, 10.0, 50.0, 2.15),
    (10.0, 10.0, 85.0, 7.2),
    (30.0, 20.0, 50.0, 0.39),
)


def drying_ratio(face_C: float, air_C: float, rh_pct: float) -> float:
    """How much longer a water-borne coat takes than at 20 degC and 50 %."""
    one = np.ones((1, 1))
    dew = psychrometrics.dew_point(air_C, rh_pct / 100)
    here = seal.LocalConditions(
        np.zeros(1), face_C * one, dew * one, rh_pct / 100 * one, 0 * one, 0 * one, face_C * one
    )
    return 1.0 / float(seal.drying_rate(here, SealerSystem("water-based-acrylic").resolved())[0, 0])


def _rate(concrete_C: float, air_C: float, rh_pct: float, wind_km_h: float) -> float:
    return float(
        evaporation.evaporation_rate(
            concrete_C=concrete_C, air_C=air_C, rh_fraction=rh_pct / 100, wind_km_h=wind_km_h
        )
    )


def _row(concrete_C: float, air_C: float, rh_pct: float, wind_km_h: float, rate: float) -> Check:
    return Check(
        "UNO_1998",
        f"evaporation, concrete {concrete_C:g}, air {air_C:g} degC, {rh_pct:g} %, "
        f"{wind_km_h:g} km/h",
        "kg/m2h",
        rate,
        lambda: _rate(concrete_C, air_C, rh_pct, wind_km_h),
        "0.0006",
        "mathematics",
        ARITHMETIC,
    )


def _still(degrees: float, rh_pct: float, rate: float) -> Check:
    return Check(
        "UNO_1998",
        f"evaporation, still air and concrete {degrees:g} degC, {rh_pct:g} %",
        "kg/m2h",
        rate,
        lambda: _rate(degrees, degrees, rh_pct, 0.0),
        "0.00006",
        "mathematics",
        ARITHMETIC,
    )


def _drying(face_C: float, air_C: float, rh_pct: float, ratio: float) -> Check:
    return Check(
        "UNO_1998",
        f"drying time, face {face_C:g}, air {air_C:g} degC, {rh_pct:g} %",
        "of 20 degC, 50 %",
        ratio,
        lambda: drying_ratio(face_C, air_C, rh_pct),
        "13 %",
        "mathematics",
        "ratio of two rates in still air; ours goes by the vapour-pressure deficit",
    )


def _nomograph(form: str, lb_ft2_h: float, tolerance: str, status: str, where: str) -> Check:
    return Check(
        "UNO_1998",
        f"evaporation, concrete 87, air 80 degF, 50 %, 12 mph, {form}",
        "lb/ft2h",
        lb_ft2_h,
        lambda: _rate(30.556, 26.667, 50.0, 19.312) / KG_M2_PER_LB_FT2,
        tolerance,
        status,
        where,
    )


CHECKS = (
    *(_row(*row) for row in ROWS),
    Check(
        "UNO_1998",
        "worked example, concrete 31, air 27 degC, 50 %, 19 km/h",
        "kg/m2h",
        1.15,
        lambda: _rate(31.0, 27.0, 50.0, 19.0),
        "0.006",
        "page",
        "0.24 lb/ft2h = 1.15 kg/m2h, scribd.com/document/376430127 (Concrete International)",
    ),
    _nomograph(
        "chart",
        0.25,
        "10 %",
        "page",
        "worldsrichpeople.com, how do you calculate the evaporation rate: a chart read by eye",
    ),
    _nomograph("formula", 0.2435, "5 %", "mathematics", "the US form of the equation"),
    *(_still(*row) for row in STILL_AIR),
    *(_drying(*row) for row in DRYING),
)
