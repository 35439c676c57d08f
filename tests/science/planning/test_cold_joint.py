"""A batch that comes after the one before has begun to set is told as a cold joint."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.errors import InputError
from models.message import Message
from models.piece.shape import Shape
from models.planning import timeline
from models.simulation.batch import Batch
from models.simulation.batched import with_batches
from models.simulation.scenario import Placement, Scenario

AT = datetime(2026, 5, 16, 18, tzinfo=UTC)


def air(before_C: float, after_C: float) -> AirSeries:
    """One warmth up to the youngest batch, another from then on."""
    hours = np.arange(24 * 12)
    degrees = np.where(hours <= 72, before_C, after_C).astype(float)
    same = np.ones_like(degrees)
    start = AT - timedelta(hours=72)
    return AirSeries(
        start, degrees, degrees - 5, same, 0 * same, 0.9 * same, np.nan * same, AT, "made up"
    )


def warned(
    gap_h: float, weather: AirSeries, first: Batch | None = None, **then: object
) -> list[Message]:
    pour = Scenario(
        "a bench",
        Site("covered", 41.5, -74.0),
        Mixture("general-purpose"),
        Shape("panel", 1200.0, 400.0, 80.0),
        Placement(AT, 20.0),
    )
    before = replace(first or Batch(AT), at=AT - timedelta(hours=gap_h))
    batches = [before, Batch(AT, **then)]  # type: ignore[arg-type]
    found = timeline.project(with_batches(pour, batches), weather, AT + timedelta(hours=1))
    codes = ("cold_joint", "backing_late", "backing_soon", "batch_after_clock")
    return [one for one in found.warnings if one.code in codes]


def test_half_an_hour_between_batches_is_no_joint() -> None:
    assert warned(0.5, air(20, 20)) == []


def test_six_hours_at_20_degrees_are_one_and_its_chance_is_told() -> None:
    (joint,) = warned(6.0, air(20, 20))
    assert joint.code == "cold_joint"
    assert joint.values["gap_h"] == pytest.approx(6.0)
    chance = joint.values["chance"]
    assert isinstance(chance, float)
    assert chance > 0.8


def test_the_weather_of_the_first_batch_decides_not_that_of_the_last() -> None:
    hot, cold = warned(3.0, air(35, 5)), warned(3.0, air(5, 35))
    assert [one.code for one in hot] == ["cold_joint"]
    assert cold == []


def test_a_warmer_batch_sets_sooner() -> None:
    def chance(degrees: float) -> float:
        told = warned(4.0, air(18, 18), Batch(AT, concrete_C=degrees))
        return float(str(told[0].values["chance"])) if told else 0.0

    assert chance(8.0) < chance(20.0) < chance(32.0)


def test_a_batch_of_another_mix_sets_by_its_own_time() -> None:
    """Rapid-setting first, then the pour's bag: after half an hour that has begun to set. The
    other way about there is no joint, and none where both are of the slow bag."""
    quick = Batch(AT, mixture=Mixture("rapid-setting"))
    assert [one.code for one in warned(0.45, air(20, 20), quick)] == ["cold_joint"]
    assert warned(0.45, air(20, 20), mixture=Mixture("rapid-setting")) == []
    assert warned(0.45, air(20, 20)) == []


def test_a_backing_has_two_ends() -> None:
    face = Batch(AT, thickness_mm=3.0, layer="face", mixture=Mixture("glass-fibre"))
    ends = {
        minutes: [one.code for one in warned(minutes / 60, air(20, 20), face, layer="backing")]
        for minutes in (4, 25, 120)
    }
    assert ends == {4: ["backing_soon"], 25: [], 120: ["backing_late"]}


def test_a_batch_that_says_it_came_after_the_clock_of_the_pour_is_warned_of() -> None:
    (late,) = warned(-1.0, air(20, 20))
    assert late.code == "batch_after_clock"


def test_batches_deeper_than_the_mould_are_refused_with_both_numbers() -> None:
    with pytest.raises(InputError) as refused:
        warned(0.5, air(20, 20), Batch(AT, thickness_mm=50.0), thickness_mm=45.0)
    assert "95" in str(refused.value)
    assert "80" in str(refused.value)
