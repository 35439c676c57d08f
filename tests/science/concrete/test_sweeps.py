"""A sweep that goes on from another one where their schedules part, against one from placing."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete import heat, sweeps, time_steps
from models.concrete.mixture import Mixture
from models.concrete.section import Covering, MouldBoard
from models.piece.shape import Shape
from models.simulation import physics, thermal
from models.simulation.in_force import schedule
from models.simulation.plan import Plan, PlanEntry
from models.simulation.scenario import Placement, Scenario

POURED = datetime(2025, 3, 3, 14, 20, tzinfo=UTC)
MEMBERS = 16
BLANKET = Covering(2.0, 40.0, "blanket", faces="all")
PLANS = (
    (Plan(), 60),
    (Plan((PlanEntry("strip", 43.7),)), 200),
    (Plan((PlanEntry("strip", 43.7), PlanEntry("uncover", 90.0))), 200),
    (Plan((PlanEntry("cover", 2.0, cover=BLANKET),)), 50),
    (Plan((PlanEntry("cover", 2.0, cover=BLANKET), PlanEntry("strip", 48.0))), 120),
    (Plan((PlanEntry("strip", 43.7), PlanEntry("end-wet-cure", 90.0))), 171),
    (Plan(), 240),
)


def record() -> AirSeries:
    random = np.random.default_rng(5)
    hours = 96 + 24 * 12
    air = 4 + 6 * np.sin(2 * np.pi * np.arange(hours) / 24) + random.normal(0, 1, hours)
    same = np.ones(hours)
    begin = POURED.replace(minute=0) - timedelta(hours=96)
    wind = 3 + random.random(hours)
    return AirSeries(begin, air, air - 3, wind, 0 * same, 0.4 * same, np.nan * same, POURED, "made")


def pour(kind: str, mould: MouldBoard) -> Scenario:
    return Scenario(
        "a slab",
        Site("open yard", 48.1, 11.6),
        Mixture(kind),
        Shape("panel", 1200.0, 600.0, 40.0),
        Placement(POURED, 18.0),
        mould=mould,
    )


def drawn(scenario: Scenario) -> physics.Members:
    members = physics.drawn(scenario, record(), POURED, 240, MEMBERS)
    assert isinstance(members, physics.Members)
    return members


@pytest.fixture(params=[("rapid-setting", "melamine"), ("general-purpose", "ground")])
def scenario(request: pytest.FixtureRequest) -> Scenario:
    kind, board = request.param
    return pour(kind, MouldBoard(board))


def rows(simulation: physics.Simulation) -> np.ndarray:
    trajectory = simulation.trajectory
    names = ("mean_C", "top_C", "coldest_C", "te_mean_h", "te_cold_h", "harm")
    return np.array([getattr(trajectory, name) for name in names])


def test_plans_that_share_what_they_are_alike_in_answer_as_each_alone(scenario: Scenario) -> None:
    together = drawn(scenario)
    for plan, hours in (*PLANS, *PLANS[::-1]):
        alone = physics.under(drawn(scenario), plan, hours)
        np.testing.assert_array_equal(
            rows(physics.under(together, plan, hours)), rows(alone), strict=True
        )
    assert len(together.sweeps.known) > len(PLANS)


def test_some_of_the_members_go_on_from_the_sweep_of_all(scenario: Scenario) -> None:
    together, some = drawn(scenario), np.arange(MEMBERS) % 3 == 0
    for plan, hours in PLANS:
        physics.under(together, plan, hours)
    few = together.only(some)
    bare = Plan((PlanEntry("strip", 43.7), PlanEntry("uncover", 60.0)))
    before, begins_h = few.sweeps.nearest(schedule(scenario, few.ground_C, bare, few.film_h), 100)
    assert before is not None
    assert begins_h == 48.0
    alone = physics.under(drawn(scenario).only(some), bare, 100)
    np.testing.assert_array_equal(rows(physics.under(few, bare, 100)), rows(alone))


def test_schedules_are_alike_up_to_the_first_thing_that_differs() -> None:
    scenario = pour("blended", MouldBoard())

    def until(*hours: float) -> float:
        one, other = (
            sweeps.columns(schedule(scenario, None, Plan((PlanEntry("strip", at),))))
            for at in hours
        )
        return sweeps.alike_until(one, other)

    assert until(30.0, 30.0) == np.inf
    assert until(30.0, 30.25) == 30.0
    assert until(99.0, np.inf) == 99.0


def test_a_sweep_keeps_its_state_at_its_own_end() -> None:
    assert sweeps.kept_h(1).tolist() == [1.0]
    assert sweeps.kept_h(100)[-2:].tolist() == [96.0, 100.0]
    assert time_steps.FINE_H in sweeps.kept_h(60)


@pytest.mark.parametrize("kind", ["rapid-setting", "general-purpose", "blended"])
def test_steps_twice_as_fine_change_little_while_it_warms_and_hardens(kind: str) -> None:
    scenario = pour(kind, MouldBoard())
    members = drawn(scenario)

    def swept(finer: int) -> heat.Histories:
        return heat.temperature(
            thermal.column(scenario),
            schedule(scenario, None, Plan((PlanEntry("strip", 30.2),)), members.film_h),
            members.exposure,
            thermal.kinetics(members.prior),
            members.placed_C,
            48,
            steps_h=(time_steps.FINE_STEP_H / finer, time_steps.COARSE_STEP_H),
            sprint_tau_h=scenario.resolved().mix.hydration_tau_h,
        )

    usual, fine = swept(1), swept(2)
    assert np.abs(usual.mean_C - fine.mean_C).max() < 0.05
    assert np.abs(usual.top_C - fine.top_C).max() < 0.05
    off, covered = np.abs(usual.coldest_C - fine.coldest_C), int(members.film_h) + 2
    assert off[:covered].max() < 0.1  # while its face is bare and wet
    assert off[covered:].max() < 0.05
    assert np.abs(usual.te_cold_h - fine.te_cold_h).max() < 0.05
