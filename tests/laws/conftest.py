"""Laws run on a fixed profile; scenarios and air are built here, not read."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import settings

from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete.mixture import Mixture
from models.piece.shape import Shape
from models.simulation.scenario import Placement, Scenario
from tests.support.thorough import some

POURED_AT = datetime(2025, 11, 3, 15, tzinfo=UTC)
SPIN_UP_H = 72

settings.register_profile(
    "castclock",
    deadline=None,
    derandomize=True,
    max_examples=some(12, 2000),
    print_blob=True,
)
settings.load_profile("castclock")


@pytest.fixture(scope="session")
def poured_at() -> datetime:
    return POURED_AT


@pytest.fixture(scope="session")
def air_of() -> Callable[..., AirSeries]:
    """Hourly air as a daily sine from 72 h before the pour on."""

    def build(
        mean_C: float = 10.0,
        swing_K: float = 4.0,
        hours: int = 192,
        dew_gap_K: float = 4.0,
        wind_m_s: float = 2.0,
        cloud: float = 0.4,
    ) -> AirSeries:
        t = np.arange(SPIN_UP_H + hours)
        air = mean_C + swing_K * np.sin(2 * np.pi * (t - 3) / 24)  # warmest 15:00
        same = np.ones_like(air)
        return AirSeries(
            POURED_AT - timedelta(hours=SPIN_UP_H),
            air,
            air - dew_gap_K,
            wind_m_s * same,
            0 * same,
            cloud * same,
            np.nan * same,
            POURED_AT,
            "a made-up record",
        )

    return build


@pytest.fixture(scope="session")
def pour_of() -> Callable[..., Scenario]:
    """A panel poured at POURED_AT; any part of the scenario may be given."""

    def build(
        kind: str = "covered",
        mix: str = "general-purpose",
        thickness_mm: float = 50.0,
        placed_C: float | None = 18.0,
        **more: object,
    ) -> Scenario:
        site = Site(kind, 41.5, -74.0, setpoint_C=15.0 if kind == "heated room" else None)
        parts: dict[str, object] = {
            "name": "a panel",
            "site": site,
            "mixture": Mixture(mix),
            "shape": Shape("panel", 1200.0, 600.0, thickness_mm),
            "placement": Placement(POURED_AT, placed_C),
            "sealer": SealerSystem("water-based-acrylic"),
        }
        return Scenario(**(parts | more))  # type: ignore[arg-type]

    return build
