"""Evaporation by the difference of vapour pressures, another formula than ours."""

from models.air import evaporation
from tests.published.register.check import Check

ROWS = (  # concrete C, air C, humidity %, wind km/h, kg/m2h
    (31.0, 27.0, 50.0, 19.0, 1.189),
    (20.0, 20.0, 60.0, 10.0, 0.251),
    (20.0, 5.0, 60.0, 20.0, 0.831),
    (32.0, 35.0, 25.0, 15.0, 1.216),
    (25.0, 25.0, 50.0, 10.0, 0.426),
    (30.0, 30.0, 40.0, 20.0, 1.165),
    (22.0, 10.0, 70.0, 15.0, 0.648),
    (25.0, 30.0, 60.0, 5.0, 0.108),
)


def _row(concrete_C: float, air_C: float, rh_pct: float, wind_km_h: float, rate: float) -> Check:
    return Check(
        "MENZEL_1954",
        f"evaporation, concrete {concrete_C:g}, air {air_C:g} degC, {rh_pct:g} %, "
        f"{wind_km_h:g} km/h",
        "kg/m2h",
        rate,
        lambda: float(
            evaporation.evaporation_rate(
                concrete_C=concrete_C, air_C=air_C, rh_fraction=rh_pct / 100, wind_km_h=wind_km_h
            )
        ),
        "7 %",
        "from memory",
        "0.315 (e0 - ea) (0.253 + 0.060 V) with Tetens; ours is UNO_1998",
    )


CHECKS = tuple(_row(*row) for row in ROWS)
