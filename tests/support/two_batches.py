"""Two batches of a block under steady air: the chance that the second left a cold joint."""

from datetime import UTC, datetime, timedelta

import numpy as np

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.message import Message
from models.piece.shape import Shape
from models.planning import cold_joint
from models.simulation import physics
from models.simulation.batch import Batch
from models.simulation.batched import with_batches
from models.simulation.scenario import Placement, Scenario

AT = datetime(2026, 5, 16, 18, tzinfo=UTC)


def warned_of(gap_h: float, air_C: float, mix: str = "general-purpose") -> list[Message]:
    """What is said of a second batch so long after the first [h], both as warm as the air."""
    hours = np.arange(24 * 6)
    same = np.ones(len(hours))
    start = AT - timedelta(hours=72)
    air = AirSeries(
        start,
        air_C * same,
        (air_C - 6) * same,
        same,
        0 * same,
        0.9 * same,
        np.nan * same,
        AT,
        "made up",
    )
    pour = Scenario(
        "a block",
        Site("covered", 41.5, -74.0),
        Mixture(mix),
        Shape("block", 400.0, 300.0, height_mm=300.0),
        Placement(AT, air_C),
    )
    pour = with_batches(pour, [Batch(AT - timedelta(hours=gap_h)), Batch(AT)])
    found = physics.simulate(pour, air, AT, 24, 64)
    assert isinstance(found, physics.Simulation)
    return list(cold_joint.Lifts(pour, found, air, AT).told())
