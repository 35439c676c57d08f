"""Height of the sun and clear-sky radiation."""

from models.air import sky
from tests.published.register.check import Check

CLEAR_W_M2 = {10.0: 135.7417, 30.0: 487.8941, 60.0: 888.2713, 90.0: 1035.0920}
ELEVATION = (  # instant UTC, days since 2000-01-01 12:00, north, east, degrees
    ("2025-06-21 16:00", 9303 + 1 / 6, 41.5, -74.0, 68.2646),
    ("2025-12-21 12:00", 9486.0, 52.0, 5.0, 14.4081),
    ("2025-03-20 02:00", 9209 + 7 / 12, -33.0, 151.0, 57.1043),
)


def _clear(elevation_deg: float, W_m2: float) -> Check:
    return Check(
        "PVLIB",
        f"clear sky, sun at {elevation_deg:g} degrees",
        "W/m2",
        W_m2,
        lambda: float(sky.clear_sky_irradiance(elevation_deg)),
        "0.0001",
        "library",
        "clearsky.haurwitz",
    )


def _sun(instant: str, days: float, latitude: float, longitude: float, degrees: float) -> Check:
    return Check(
        "PVLIB",
        f"sun over {latitude:g} N, {longitude:g} E at {instant} UTC",
        "degrees",
        degrees,
        lambda: float(sky.sun_elevation(days, latitude, longitude)),
        "0.02",
        "library",
        "solarposition.get_solarposition, without refraction",
    )


CHECKS = (
    *(_clear(elevation, W_m2) for elevation, W_m2 in CLEAR_W_M2.items()),
    *(_sun(*row) for row in ELEVATION),
)
