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
from models.planning import pouring
from models.simulation import physics
from models.simulation.batch import Batch
from models.simulation.batched import depth_mm, with_batches
from models.simulation.scenario import Placement, Scenario

AT = datetime(2026, 5, 16, 18, tzinfo=UTC)


@pytest.fixture(scope="module")
def simulation() -> physics.Simulation:
    hours = np.arange(24 * 6)
    same = np.ones(len(hours))
    start = AT - timedelta(hours=72)
    air = AirSeries(
        start, 20 * same, 12 * same, same, 0 * same, 0.9 * same, np.nan * same, AT, "made up"
    )
    found = physics.simulate(pour(), air, AT, 48, 32)
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
