"""A cool night about one panel, for tests of what readings and records change."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete.mixture import Mixture
from models.piece.shape import Shape
from models.simulation.scenario import Placement, Scenario

POURED_AT = datetime(2025, 10, 20, 16, tzinfo=UTC)


@pytest.fixture(scope="session")
def poured_at() -> datetime:
    return POURED_AT


@pytest.fixture(scope="session")
def cool() -> AirSeries:
    """Ten days about 9 C, warmest in the afternoon; the forecast was made at the pour."""
    t = np.arange(72 + 240)
    air = 9 + 5 * np.sin(2 * np.pi * (t - 2) / 24)
    same = np.ones_like(air)
    return AirSeries(
        POURED_AT - timedelta(hours=72),
        air,
        air - 4,
        2 * same,
        0 * same,
        0.5 * same,
        np.nan * same,
        POURED_AT,
        "a made-up record",
    )


@pytest.fixture(scope="session")
def panel() -> Callable[..., Scenario]:
    def build(kind: str = "covered", **more: object) -> Scenario:
        parts: dict[str, object] = {
            "name": "a panel",
            "site": Site(kind),
            "mixture": Mixture("general-purpose"),
            "shape": Shape("panel", 1200.0, 600.0, 50.0),
            "placement": Placement(POURED_AT, 17.0),
            "sealer": SealerSystem("water-based-acrylic"),
        }
        return Scenario(**(parts | more))  # type: ignore[arg-type]

    return build
