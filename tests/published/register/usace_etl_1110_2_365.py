"""Film coefficient of a face in wind, as engineers of dams take it."""

from models.air import sky
from tests.published.register.check import Check

PAGE = (
    "arithmetic on eqs A-2, A-3: 0.165 + 0.0513 V to 10.9 mph, 0.1132 V^0.8 above;"
    " 34.07 W/m2K a unit"
)


def _film(wind_m_s: float, W_m2K: float, tolerance: str) -> Check:
    return Check(
        "USACE_ETL_1110_2_365",
        f"film at {wind_m_s:g} m/s",
        "W/m2K",
        W_m2K,
        lambda: float(sky.convection(wind_m_s)),
        tolerance,
        "mathematics",
        PAGE,
    )


CHECKS = (_film(0.0, 5.62, "2 %"), _film(2.0, 13.44, "2 %"), _film(8.0, 38.8, "8 %"))
