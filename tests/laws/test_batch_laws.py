"""Laws of batches: more water, less warmth or a later hour never make a piece ready earlier."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.air.series import AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.piece.shape import Opening, Shape
from models.planning import default_plan, timeline
from models.simulation import physics, placed
from models.simulation.batch import Batch
from models.simulation.batched import with_batches
from models.simulation.scenario import Meant, Scenario

AirOf = Callable[..., AirSeries]
PourOf = Callable[..., Scenario]
WATCHED = ("strip", "turn")
KG = 36.0
MIXES = (
    Mixture("general-purpose", bag_kg=KG),
    Mixture("general-purpose", label=(LabelStrength(672.0, 33.0),), water_cement=0.5, bag_kg=KG),
    Mixture("general-purpose", label=(LabelStrength(24.0, 9.0),), bag_kg=KG),
    Mixture("rapid-setting", bag_kg=KG),
)
mixes = st.sampled_from(MIXES)


def hours(scenario: Scenario, air: AirSeries, plan: tuple[Meant, ...]) -> dict[str, float]:
    """By step the instant at which it is safe, in hours of one clock."""
    scenario = replace(scenario, plan=plan)
    now = scenario.placement.at + timedelta(hours=1)
    simulation = default_plan.simulated(scenario, air, now, 400, 32)
    assert isinstance(simulation, physics.Simulation)
    clock = scenario.placement.at.timestamp() / 3600
    return {
        opening.step: clock + (when.safe if when.safe < 1e9 else 1e9)
        for opening, when in timeline.planned(scenario, simulation, 1.0)[0]
        if opening.step in WATCHED
    }


def never_earlier(
    pour: Scenario, air: AirSeries, first: list[Batch], then: list[Batch], plan: tuple[Meant, ...]
) -> None:
    before, after = (hours(with_batches(pour, one), air, plan) for one in (first, then))
    for step in WATCHED:
        assert after[step] >= before[step] - 1e-6, step


def meant(pour: Scenario) -> tuple[Meant, ...]:
    """One plan for both, since a piece that is stripped later stays longer in its mould."""
    return (Meant("strip", pour.placement.at + timedelta(hours=60)),)


@given(
    mix=mixes,
    water=st.tuples(st.floats(2.5, 4.0), st.floats(2.5, 4.0)),
    more=st.floats(0.05, 12.0),  # up to what no mix has, of a bag mistyped long ago
    mean=st.floats(3.0, 25.0),
)
def test_more_water_in_one_batch_is_never_earlier(
    air_of: AirOf,
    pour_of: PourOf,
    mix: Mixture,
    water: tuple[float, float],
    more: float,
    mean: float,
) -> None:
    pour = pour_of(mixture=mix)
    at = pour.placement.at
    first = [Batch(at, 1.0, one) for one in water]
    then = [replace(first[0], water_l=water[0] + more), first[1]]
    never_earlier(pour, air_of(mean), first, then, meant(pour))


@pytest.mark.parametrize("mix", [*MIXES, Mixture("general-purpose", bag_kg=25, bag_yield_l=12)])
def test_water_beyond_what_any_mix_has_never_makes_it_stronger(
    pour_of: PourOf, mix: Mixture
) -> None:
    """Of the pour's own mix, and of a batch of another."""
    pour = pour_of(mixture=mix)
    other = pour_of(mixture=Mixture("general-purpose", label=(LabelStrength(672.0, 60.0),)))
    for scenario, own in ((pour, None), (other, mix)):
        reached = []
        for water_l in (2.0, 2.5, 3.0, 3.5, 3.6, 4.0, 5.0, 6.0, 8.0, 12.0):
            batch = Batch(pour.placement.at, 1.0, water_l, mixture=own)
            prior = placed.mixed(with_batches(scenario, [batch]), 64)
            reached.append(float(np.median(prior.strength_at(np.full(64, 672.0)))))
        assert reached == sorted(reached, reverse=True)
        assert reached[-1] < 0.7 * reached[0]


@given(
    mix=mixes,
    warm=st.tuples(st.floats(8.0, 30.0), st.floats(8.0, 30.0)),
    colder=st.floats(0.1, 6.0),
    thickness=st.floats(30.0, 300.0),
    bags=st.sampled_from([None, 1.0, 3.0]),
)
def test_a_colder_batch_is_never_earlier(
    air_of: AirOf,
    pour_of: PourOf,
    mix: Mixture,
    warm: tuple[float, float],
    colder: float,
    thickness: float,
    bags: float | None,
) -> None:
    pour = pour_of(mixture=mix, thickness_mm=thickness)
    at = pour.placement.at
    first = [Batch(at, bags, None, warm[0]), Batch(at, 1.0, None, warm[1])]
    then = [replace(first[0], concrete_C=warm[0] - colder), first[1]]
    never_earlier(pour, air_of(12.0), first, then, meant(pour))


@given(mix=mixes, later=st.floats(0.1, 6.0), mean=st.floats(3.0, 25.0))
def test_a_later_batch_is_never_earlier(
    air_of: AirOf, pour_of: PourOf, mix: Mixture, later: float, mean: float
) -> None:
    pour = pour_of(mixture=mix)
    at = pour.placement.at
    plan = (Meant("strip", at + timedelta(hours=60)),)
    when = at + timedelta(hours=later)
    moved = replace(pour, placement=replace(pour.placement, at=when))
    air = air_of(mean)
    before = hours(with_batches(pour, [Batch(at, 1.0)]), air, plan)
    after = hours(with_batches(moved, [Batch(at, 1.0), Batch(when, 1.0)]), air, plan)
    for step in WATCHED:
        assert after[step] >= before[step] - 1e-6, step


def test_batches_that_tell_nothing_leave_every_hour_to_the_digit(
    air_of: AirOf, pour_of: PourOf
) -> None:
    pour = pour_of()
    air, now = air_of(10.0), pour.placement.at + timedelta(hours=2)
    bare = timeline.project(pour, air, now)
    told = timeline.project(with_batches(pour, [Batch(pour.placement.at, 2.0)]), air, now)
    assert told.steps == bare.steps
    assert told.warnings == bare.warnings


@pytest.mark.parametrize("older_h", [1.0, 3.0])
def test_knock_outs_lock_by_the_oldest_batch_and_free_by_the_youngest(
    air_of: AirOf, pour_of: PourOf, older_h: float
) -> None:
    shape = Shape("panel", 1200.0, 600.0, 50.0, openings=(Opening(300.0, 200.0),))
    pour, air = pour_of(shape=shape), air_of(15.0)
    at = pour.placement.at
    now = at + timedelta(hours=1)
    alone = timeline.project(pour, air, now)
    both = timeline.project(
        with_batches(pour, [Batch(at - timedelta(hours=older_h), 1.0), Batch(at, 1.0)]), air, now
    )
    one, two = (
        next(step for step in told.steps if step.step == "knock-out") for told in (alone, both)
    )
    assert one.earliest is not None
    assert two.earliest is not None
    assert one.earliest.p50 == two.earliest.p50
    assert one.latest is not None
    assert two.latest is not None
    assert two.latest < one.latest
