"""Lifts and backings: how deep a mould is filled, and when the next may go on."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.errors import InputError
from models.mould.panels import pressed
from models.piece.shape import Shape
from models.planning import cold_joint, pouring
from models.simulation import physics
from models.simulation.batch import Batch
from models.simulation.batched import depth_mm, with_batches
from models.simulation.scenario import Placement, Scenario

AT = datetime(2026, 5, 16, 18, tzinfo=UTC)


def air() -> AirSeries:
    same = np.ones(24 * 6)
    start = AT - timedelta(hours=72)
    return AirSeries(
        start, 20 * same, 12 * same, same, 0 * same, 0.9 * same, np.nan * same, AT, "made up"
    )


@pytest.fixture(scope="module")
def simulation() -> physics.Simulation:
    found = physics.simulate(pour(), air(), AT, 48, 32)
    assert isinstance(found, physics.Simulation)
    return found


def pour(*batches: Batch) -> Scenario:
    block = Scenario(
        "a block",
        Site("covered", 41.5, -74.0),
        Mixture("general-purpose"),
        Shape("block", 800.0, 300.0, height_mm=600.0),
        Placement(AT, 20.0),
    )
    return with_batches(block, batches)


def lift(hours: float, **told: Any) -> Batch:
    return Batch(AT + timedelta(hours=hours), **told)


def test_batches_fill_the_mould_as_deep_as_its_walls_are_pressed() -> None:
    """On its side a piece is as deep as it is wide, for its batches and for its walls."""
    leg = Shape("l-shape", 600.0, 400.0, 50.0, height_mm=1100.0, wall_mm=50.0)
    told = replace(pour(), shape=leg)
    assert depth_mm(told) == pressed(leg).depth_mm == 400.0
    with pytest.raises(InputError, match="400 mm"):
        with_batches(told, [lift(0, thickness_mm=500.0)])


def test_batches_of_what_is_told_without_a_height_are_not_refused() -> None:
    loose = Shape(
        "by-hand",
        600.0,
        400.0,
        told_volume_l=10.0,
        told_faces_m2=1.0,
        thickest_part_mm=50.0,
        thinnest_part_mm=50.0,
    )
    told = with_batches(replace(pour(), shape=loose), [lift(0, thickness_mm=200.0)])
    assert len(told.batched.batches) == 1


def test_a_backing_may_go_on_before_it_may_not(simulation: physics.Simulation) -> None:
    """Of a face coat that sets as slowly as the bag, later than of one that is made for it."""
    own = pouring.backs(pour(Batch(AT, layer="face")), simulation)
    quick = pouring.backs(pour(Batch(AT, layer="face", mixture=Mixture("glass-fibre"))), simulation)
    for one in (own, quick):
        assert 0 < one.from_h < one.sure_h < one.even_h
    assert quick.from_h < own.from_h
    assert quick.even_h < own.even_h


def test_the_next_batch_joins_by_the_mix_that_went_in_last(simulation: physics.Simulation) -> None:
    own, label = pouring.joins(pour(Batch(AT)), simulation), pouring.joins(pour(), simulation)
    quick = pouring.joins(pour(Batch(AT, mixture=Mixture("rapid-setting"))), simulation)
    assert own == label
    assert 0 < quick.sure_h < quick.even_h < own.sure_h


def test_what_has_set_carries_itself_and_presses_no_wall(simulation: physics.Simulation) -> None:
    """Three lifts of 200 mm in a mould of 600: at once, two hours apart, and a day apart."""

    def fresh(*hours: float, asked_h: float = 60.0, **more: Any) -> float | None:
        lifts = [lift(one, **{"thickness_mm": 200.0, **more}) for one in hours]
        now = AT + timedelta(hours=asked_h)
        return cold_joint.Lifts(pour(*lifts), simulation, air(), now).fresh_mm()

    assert fresh(0.0, 0.1, 0.2) == 600.0
    assert fresh(0.0, 2.0, 4.0) == 600.0, "before the initial set all of it is liquid"
    assert fresh(0.0, 24.0, 48.0) == 200.0
    assert fresh(0.0, 0.5, 24.0) == 400.0
    assert fresh(0.0, 24.0, 24.5) == 400.0
    assert fresh(0.0) is None, "one alone"
    assert fresh(0.0, 24.0, thickness_mm=None) is None, "nobody told how deep"


def test_what_is_still_to_come_is_taken_as_if_it_came_now(simulation: physics.Simulation) -> None:
    lifts = [lift(hours, thickness_mm=100.0) for hours in (0.0, 24.0)]

    def fresh(asked_h: float) -> float | None:
        now = AT + timedelta(hours=asked_h)
        return cold_joint.Lifts(pour(*lifts), simulation, air(), now).fresh_mm()

    assert fresh(24.1) == 500.0  # 100 fresh and 400 that lack
    assert fresh(60.0) == 400.0


def test_a_doubtful_set_is_none(simulation: physics.Simulation) -> None:
    """Between the first and the last member to set, the lift below still counts."""
    depths = [
        cold_joint.Lifts(
            pour(lift(0.0, thickness_mm=300.0), lift(gap, thickness_mm=300.0)),
            simulation,
            air(),
            AT + timedelta(hours=60),
        ).fresh_mm()
        for gap in np.arange(1.0, 16.0, 1.0)
    ]
    assert depths == sorted(depths, key=lambda one: -(one or 0.0))
    assert (depths[0], depths[-1]) == (600.0, 300.0)
    last_fresh = float(np.arange(1.0, 16.0, 1.0)[depths.index(300.0)]) - 1.0
    late = pour(lift(0.0, thickness_mm=300.0), lift(last_fresh, thickness_mm=300.0))
    lifts = cold_joint.Lifts(late, simulation, air(), AT + timedelta(hours=60))
    codes = {one.code for one in lifts.told()}
    assert "cold_joint" in codes, "a joint is warned of long before a lift is counted as set"
