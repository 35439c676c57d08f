"""Rain on a dry face: what it takes up, and how much later it is dry enough for a coat."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np

from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.concrete.mixture import Mixture
from models.piece.shape import Shape
from models.planning import default_plan
from models.simulation import physics
from models.simulation.scenario import Done, Placement, Scenario
from models.steps import dry

POURED_AT = datetime(2026, 5, 4, 15, tzinfo=UTC)
HOUR = timedelta(hours=1)
RAIN_H, RAIN_MM_H, FOR_H = 12 * 24, 2.5, 3
NOW_H = RAIN_H + FOR_H


def yard(rain_mm_h: float) -> AirSeries:
    """Twenty mild dry days, but for three hours of rain on the twelfth."""
    t = np.arange(72 + 20 * 24)
    air = 18.0 + 4.0 * np.sin(2 * np.pi * (t - 9) / 24)
    same = np.ones_like(air)
    rain = np.where((t >= 72 + RAIN_H) & (t < 72 + RAIN_H + FOR_H), rain_mm_h, 0.0)
    return AirSeries(
        POURED_AT - 72 * HOUR,
        air,
        air - 9.0,
        same,
        rain,
        0.4 * same,
        np.nan * same,
        POURED_AT + NOW_H * HOUR,
        "a made-up record",
    )


def dried(rain_mm_h: float) -> tuple[physics.Simulation, Scenario]:
    done = tuple(
        Done(step, POURED_AT + hour * HOUR)
        for step, hour in (("strip", 8.0), ("turn", 12.0), ("end-wet-cure", 48.0))
    )
    pour = Scenario(
        "a top",
        Site("open yard", 41.5, -74.0),
        Mixture("rapid-setting"),
        Shape("panel", 1200.0, 600.0, 40.0),
        Placement(POURED_AT, 18.0),
        done=done,
        sealer=SealerSystem("water-based-acrylic"),
    )
    simulation = default_plan.simulated(
        pour, yard(rain_mm_h), POURED_AT + NOW_H * HOUR, 19 * 24, 48
    )
    assert isinstance(simulation, physics.Simulation)
    return simulation, pour


def test_three_hours_of_rain_are_taken_up_as_measured_and_put_the_coat_off() -> None:
    rained, fair = dried(RAIN_MM_H)[0], dried(0.0)[0]
    assert rained.drying is not None
    assert fair.drying is not None
    wet, none = rained.drying.dried, fair.drying.dried
    gained = wet.lost_kg_m2[RAIN_H] - wet.lost_kg_m2[RAIN_H + FOR_H]
    assert 0.5 < np.median(gained) < 2.3
    assert gained.max() <= FOR_H * RAIN_MM_H
    lighter = none.lost_kg_m2[RAIN_H + FOR_H] - wet.lost_kg_m2[RAIN_H + FOR_H]
    assert np.median(lighter) > 0.5  # against the same piece without the rain

    target = float(np.median(none.probe_rh[RAIN_H])) + 0.01  # dry enough just before the rain
    later = [
        np.median(dry.ready_at(replace(one.drying, no_coat_before_h=-np.inf), target, float(NOW_H)))
        for one in (fair, rained)
        if one.drying is not None
    ]
    assert later[1] - later[0] > 10.0
