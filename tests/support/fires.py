"""A hearth that dries in warm air, and the fires that were lit on it."""

from datetime import UTC, datetime, timedelta

import numpy as np

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.piece.shape import Shape
from models.planning import default_plan, timeline
from models.simulation import physics
from models.simulation.scenario import Done, Placement, Scenario
from models.steps import heat
from models.steps.opening import Span, StepOpening

POURED_AT = datetime(2026, 5, 4, 15, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAYS, AT_D = 88, 60


def fire(
    step: str,
    thickness_mm: float = 20.0,
    rain_from_d: int | None = None,
    now_d: float = AT_D,
    burned_d: tuple[float, ...] = (),
    *,
    burner: bool = False,
    fitted: bool = False,
    shape: Shape | None = None,
) -> tuple[StepOpening, Span, physics.Simulation]:
    """When a fire may burn, after those that burned on some days."""
    t = np.arange(72 + (DAYS + 2) * 24)
    air = 20.0 + 2.0 * np.sin(2 * np.pi * (t - 9) / 24)
    same, rain = np.ones_like(air), np.zeros_like(air)
    if rain_from_d is not None:
        rain[72 + 24 * rain_from_d : 72 + 24 * (rain_from_d + 4)] = 0.5
    sky = AirSeries(
        POURED_AT - 72 * HOUR,
        air,
        3.0 * same,
        same,
        rain,
        0.4 * same,
        np.nan * same,
        POURED_AT + 24 * now_d * HOUR,
        "a made-up record",
    )
    done = tuple(
        Done(step, POURED_AT + hour * HOUR)
        for step, hour in (("strip", 8.0), ("turn", 12.0), ("end-wet-cure", 48.0))
    )
    burned = ((heat.FIRST, *heat.LATER)[k] for k in range(len(burned_d)))
    done += tuple(
        Done(key, POURED_AT + day * 24 * HOUR) for key, day in zip(burned, burned_d, strict=True)
    )
    place = Site("covered" if rain_from_d is None else "open yard", 41.5, -74.0)
    piece = Scenario(
        "a hearth",
        place,
        Mixture("rapid-setting"),
        shape or Shape("panel", 1100.0, 900.0, thickness_mm),
        Placement(POURED_AT, 18.0, burner_fitted=fitted),
        done=done,
        burner=burner,
    )
    simulation = default_plan.simulated(piece, sky, POURED_AT + 24 * now_d * HOUR, DAYS * 24, 24)
    assert isinstance(simulation, physics.Simulation)
    told = timeline.planned(piece, simulation, 24 * now_d)[0]
    return *next(row for row in told if row[0].step == step), simulation
