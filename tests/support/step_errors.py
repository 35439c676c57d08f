"""What the steps of the heat sweep miss, on a record of hours, of the members that are drawn."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

import numpy as np

from models.air.place import Site
from models.concrete import heat, time_steps
from models.concrete.mixture import Mixture
from models.piece.shape import Shape
from models.simulation import physics, thermal
from models.simulation import plan as plans
from models.simulation.in_force import schedule
from models.simulation.scenario import Placement, Scenario
from models.units import Mask
from tests.replays.record_2013 import series_2013

DAYS = 28
WORST_H = 1 / 16  # a third as long moves nothing by more than 0.01 K
TOLD = ("mean_C", "coldest_C", "top_C")


def members_of(month: int, day: int, kind: str, thickness_mm: float) -> physics.Members:
    """Of a panel poured at four in the afternoon, UTC, by the record of Newark in 2013."""
    at = datetime(2013, month, day, 16, tzinfo=UTC)
    air = series_2013("EWR", at - timedelta(days=5), at + timedelta(days=32), cloud_fraction=0.5)
    pour = Scenario(
        "steps",
        Site(kind, 40.7, -74.2),
        Mixture("general-purpose"),
        Shape("panel", 1800.0, 900.0, thickness_mm),
        Placement(at, 15.0),
    )
    found = physics.drawn(pour, air, at + timedelta(hours=2), 24 * DAYS)
    assert isinstance(found, physics.Members)
    return found


def most_missed_K(members: physics.Members, rough: Mask | None) -> Mapping[str, float]:
    """The most that any member is off at any hour, from steps of a sixteenth of an hour [K]."""

    def swept(steps_h: tuple[float, float], rough: Mask | None = None) -> heat.Histories:
        scenario = members.scenario
        return heat.temperature(
            thermal.column(scenario),
            schedule(scenario, members.ground_C, plans.told(scenario), members.film_h),
            members.exposure,
            thermal.kinetics(members.prior),
            members.placed_C,
            members.rows,
            steps_h=steps_h,
            sprint_tau_h=scenario.resolved().mix.hydration_tau_h,
            board_C=members.board_C,
            rough=rough,
        )

    usual, fine = swept(time_steps.USUAL_H, rough), swept((WORST_H, WORST_H))
    return {
        name: float(np.abs(getattr(usual, name) - getattr(fine, name))[1:].max()) for name in TOLD
    }
