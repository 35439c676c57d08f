"""When it was seen to set says how fast this batch is."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.message import Message
from models.piece.shape import Shape
from models.quantile import quantile
from models.simulation import physics
from models.simulation.scenario import Observation, Placement, Scenario
from models.steps import strip

POURED = datetime(2026, 5, 4, 9, tzinfo=UTC)
SCENARIO = Scenario(
    "bench",
    Site("covered"),
    Mixture("general-purpose", (LabelStrength(672, 28),)),
    Shape("panel", 1500, 420, 60),
    Placement(POURED, 18.0),
)


def mild() -> AirSeries:
    same = np.ones(24 * 14)
    return AirSeries(
        POURED - 48 * HOUR,
        15 * same,
        8 * same,
        1 * same,
        0 * same,
        0 * same,
        np.nan * same,
        POURED,
        "a mild fortnight",
    )


def strip_h(*seen: Observation) -> tuple[float, float, float, tuple[Message, ...]]:
    simulation = physics.simulate(replace(SCENARIO, observations=seen), mild(), POURED, 240, 256)
    assert isinstance(simulation, physics.Simulation)
    hours = strip.strip(simulation.trajectory, {}).opens_h
    low, mid, high = (quantile(hours, simulation.trajectory.weight, q) for q in (0.1, 0.5, 0.9))
    return low, mid, high, simulation.notes


def test_a_late_set_moves_strip_later_and_an_early_one_sooner() -> None:
    early = strip_h(Observation(POURED + 4.0 * HOUR, "initial-set"))[1]
    late = strip_h(Observation(POURED + 8.5 * HOUR, "initial-set"))[1]
    plain = strip_h()[1]
    assert early < plain < late


def test_a_set_that_cannot_be_is_kept_and_not_used() -> None:
    told = strip_h(Observation(POURED + 60 * HOUR, "final-set"))
    assert told[:3] == strip_h()[:3]
    assert "set_contradicts" in {note.code for note in told[3]}


def test_a_set_seen_narrows_the_window() -> None:
    low, _, high, _ = strip_h()
    near, _, far, _ = strip_h(Observation(POURED + 5.5 * HOUR, "initial-set"))
    assert far - near < high - low
    assert far - near == pytest.approx(high - low, rel=0.5)
