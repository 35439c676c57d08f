"""Turning, by whatever way: never before the strip, never by a way that asks for more than there
ever is, and the window is that of the way which is proposed."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.air.series import AirSeries
from models.concrete.section import MouldBoard
from models.errors import InputError
from models.facts.cements import CLASSES
from models.facts.materials import BOARDS
from models.piece.shape import Opening, Shape
from models.piece.turning import GEAR
from models.planning import default_plan, timeline, turning, windows
from models.results import StepWindow, TurningWay
from models.simulation import physics
from models.simulation.scenario import Done, Meant, Scenario, ShopRules
from tests.support.thorough import some

AirOf = Callable[..., AirSeries]
PourOf = Callable[..., Scenario]
SHAPES = (
    Shape("panel", 1200.0, 600.0, 50.0),
    Shape("panel", 1800.0, 900.0, 50.0, openings=(Opening(400.0, 300.0),)),
    Shape("panel", 2000.0, 1000.0, 22.0),
    Shape("panel", 2600.0, 1300.0, 14.0),
    Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0),
    Shape("block", 900.0, 350.0, height_mm=150.0),
)


def told(
    pour: Scenario, air: AirSeries, now_h: float, hours: int = 504
) -> tuple[dict[str, StepWindow], tuple[TurningWay, ...]]:
    """The steps and the ways as they are told at an hour from placing, with few members."""
    now = pour.placement.at + timedelta(hours=now_h)
    simulation = default_plan.simulated(pour, air, now, hours, 24)
    assert isinstance(simulation, physics.Simulation)
    listed = timeline.planned(pour, simulation, now_h)[0]
    steps = tuple(windows.window(pour, simulation, one, when, now) for one, when in listed)
    judged = simulation.before.get("turn", simulation)
    return {one.step: one for one in steps}, turning.told(pour, judged, steps, now_h)


@settings(max_examples=some(10, 2000))
@given(
    mix=st.sampled_from(sorted(CLASSES)),
    shape=st.sampled_from(SHAPES),
    board=st.sampled_from(sorted(BOARDS)),
    mean=st.floats(0.0, 30.0),
    now_h=st.floats(0.2, 90.0),
    gear=st.sets(st.sampled_from(GEAR)),
    lifters=st.none() | st.integers(1, 6),
    stripped_h=st.none() | st.floats(20.0, 80.0),
    need_MPa=st.none() | st.floats(0.0, 30.0),
)
def test_no_way_of_turning_is_ever_open_before_the_strip(
    air_of: AirOf,
    pour_of: PourOf,
    mix: str,
    shape: Shape,
    board: str,
    mean: float,
    now_h: float,
    gear: set[str],
    lifters: int | None,
    stripped_h: float | None,
    need_MPa: float | None,
) -> None:
    """Law: not open while it is in its mould, and no hour of it before that of the strip."""
    needs = {} if need_MPa is None else {"turn": need_MPa}
    rules = ShopRules(gear=tuple(sorted(gear)), lifters=lifters, needs_MPa=needs)
    pour = pour_of(mix=mix, shape=shape, mould=MouldBoard(board), rules=rules)
    if stripped_h is not None and stripped_h <= now_h:
        at = pour.placement.at + timedelta(hours=stripped_h)
        core = (Done("core", at),) if shape.kind == "box" else ()
        pour = replace(pour, done=(*core, Done("strip", at)))
    steps, ways = told(pour, air_of(mean), now_h)
    turn, strip = steps["turn"], steps["strip"]
    if strip.state != "done":
        assert turn.state not in ("open", "closing")
        assert turn.after == "strip"
    begins = strip.done_at or strip.safe
    hours = [turn.safe, *(one.safe for one in ways)]
    assert all(hour is None or (begins is not None and hour >= begins) for hour in hours)
    first = next(one for one in ways if one.proposed)
    assert first.safe == turn.safe
    assert first.need_MPa == pytest.approx(turn.need.value, abs=0.006)
    assert set(first.gear) <= gear


@settings(max_examples=some(6, 1000))
@given(
    mix=st.sampled_from(sorted(CLASSES)),
    shape=st.sampled_from(SHAPES),
    mean=st.floats(5.0, 30.0),
    gear=st.sets(st.sampled_from(GEAR)),
)
def test_a_way_that_is_none_never_has_a_sure_hour_and_names_one_that_is(
    air_of: AirOf, pour_of: PourOf, mix: str, shape: Shape, mean: float, gear: set[str]
) -> None:
    """Law: a way that asks for more than the mix has in the end has no sure hour, and tells a way
    that works where there is one; more gear never takes a way."""
    pour = pour_of(mix=mix, shape=shape, rules=ShopRules(gear=tuple(sorted(gear))))
    _, ways = told(pour, air_of(mean), 1.0)
    works = {one.way for one in ways if one.not_this_way is None}
    for one in ways:
        if one.not_this_way is None:
            continue
        assert one.not_this_way.code == "not_this_way"
        assert one.safe is None
        instead = one.not_this_way.values["instead"]
        named = getattr(instead, "values", {}).get("turned")
        assert named in works or not works
    ranked = [one.not_this_way is None for one in ways]
    assert ranked == sorted(ranked, reverse=True)
    with_all = replace(pour, rules=ShopRules(gear=GEAR))
    assert {
        one.way for one in told(with_all, air_of(mean), 1.0)[1] if one.not_this_way is None
    } == works


def test_a_thin_sheet_is_refused_on_its_edge_and_sent_between_boards(
    air_of: AirOf, pour_of: PourOf
) -> None:
    """2.6 x 1.3 m of 14 mm pulled off raw plywood by its edge: 6 (3 + 0.33) 1.3^2 / 8 / 0.014^2 is
    21.5 MPa of bending; no such mix. By hand it has no hour, and is told with what it has one."""
    pour = pour_of(shape=Shape("panel", 2600.0, 1300.0, 14.0), mould=MouldBoard("plywood"))
    steps, ways = told(pour, air_of(20.0), 1.0)
    assert steps["turn"].safe is None
    boards = next(one for one in ways if one.way == "boards")
    assert boards.safe is not None
    assert steps["strip"].safe is not None
    assert boards.safe >= steps["strip"].safe
    (sooner,) = turning.sooner(steps["turn"], ways)
    assert (sooner.code, sooner.values["at"]) == ("sure_at", boards.safe)
    assert turning.sooner(replace(steps["turn"], safe=boards.safe), ways) == ()
    edge = next(one for one in ways if one.way == "long_edge")
    assert edge.stress_MPa == pytest.approx(21.5, rel=0.01)
    assert edge.not_this_way is not None
    assert edge.not_this_way.values["need_MPa"] == edge.need_MPa
    instead = edge.not_this_way.values["instead"]
    assert getattr(instead, "values", {})["turned"] in ("boards", "rail")


def test_too_few_people_are_told_so_unless_there_is_a_hoist(air_of: AirOf, pour_of: PourOf) -> None:
    """90 kg: three of them tilt half of it, two do not."""
    pour = pour_of(rules=ShopRules(lifters=2))
    edge = next(one for one in told(pour, air_of(15.0), 1.0)[1] if one.way == "long_edge")
    assert edge.people is not None
    assert edge.people > 2
    assert edge.not_this_way is not None
    assert edge.not_this_way.code == "not_by_so_few"
    hoisted = replace(pour, rules=ShopRules(lifters=2, gear=("straps", "hoist")))
    edge = next(one for one in told(hoisted, air_of(15.0), 1.0)[1] if one.way == "long_edge")
    assert edge.not_this_way is None


def test_a_plan_that_turns_before_the_strip_is_refused(pour_of: PourOf) -> None:
    at = pour_of().placement.at
    acts = (Meant("turn", at + timedelta(hours=20)), Meant("strip", at + timedelta(hours=30)))
    with pytest.raises(InputError) as refused:
        pour_of(plan=acts).checked_plan()
    assert "turn before strip" in refused.value.wrong


@pytest.mark.parametrize("gear", ["crane", "Boards", ""])
def test_gear_that_nobody_knows_is_refused(gear: str) -> None:
    with pytest.raises(InputError) as refused:
        ShopRules(gear=(gear,))
    assert refused.value.field == "gear"
