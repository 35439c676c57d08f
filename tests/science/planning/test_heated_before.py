"""A tent that is heated before the concrete comes: since when, and what it warms."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.concrete.mixture import Mixture
from models.concrete.section import Covering, MouldBoard
from models.message import Message
from models.piece.shape import Shape
from models.planning import heated_before, pour_check, watch
from models.results import PourAnswer, PourOption
from models.simulation.scenario import Placement, Scenario, ShopRules
from tests.support.words import codes, cover, number

ASKED = datetime(2026, 1, 14, 6, tzinfo=UTC)
TENT = Covering(0.0, None, "heated enclosure", setpoint_C=15.0, heater="electric")
BLANKET = Covering(0.0, None, "blanket", faces="top")
BENCH = Scenario(
    "bench",
    Site("open yard", 44.0, 0.0),
    Mixture("general-purpose"),
    Shape("panel", 1500, 420, 50),
    Placement(ASKED + 10 * HOUR, 15.0),
    rules=ShopRules(code="ACI", owned=(TENT, BLANKET)),
)
HEATED = (Message("heat_electric"), Message("heated_before"))
WARM_TENT = Message(
    "way_cover", {"cover": Message("cover_with", {"cover": TENT.kind, "with": HEATED})}
)
AFTER = Message(
    "way_cover", {"cover": Message("cover_with", {"cover": TENT.kind, "with": HEATED[:1]})}
)


def air(mean_C: float, before_C: float | None = None) -> AirSeries:
    """Four days before the question and eleven after it, coldest at 03:00 [degC]."""
    hour = np.arange(24 * 15)
    day = np.where(hour < 96, mean_C if before_C is None else before_C, mean_C)
    same = np.ones(len(hour))
    felt = day + 3.0 * np.sin((hour + ASKED.hour - 9) / 24 * 2 * np.pi)
    columns = (felt, felt - 3, 2.0 * same, 0 * same, 0.3 * same, np.nan * same)
    return AirSeries(ASKED - 96 * HOUR, *columns, ASKED, "made up")


def check(scenario: Scenario, weather: AirSeries) -> PourAnswer:
    return pour_check.check(scenario, weather, ASKED, only=scenario.placement.at)


def option(answer: PourAnswer, way: Message) -> PourOption:
    (found,) = [o for o in answer.options if o.protection == way]
    return found


def chance(one: PourOption, risk: str) -> float:
    return next(r.probability for r in one.risks if r.risk == risk)


@pytest.mark.parametrize("mean_C", [-3.0, 0.0, 4.0])
def test_a_warm_tent_freezes_nothing_in_a_cold_night(mean_C: float) -> None:
    """A tent that began an hour after placing, on a board as cold as outdoors, was told with 56 %
    of frost once, then with a corner at 1 to 6 degC, and a frozen mould forbade it."""
    answer = check(replace(BENCH, placement=replace(BENCH.placement, concrete_C=14.5)), air(mean_C))
    tent, blanket = option(answer, WARM_TENT), option(answer, cover("blanket", faces="top"))
    assert tent.frost_chance is not None
    assert tent.frost_chance <= 0.02
    assert tent.passes
    assert tent.lowest_C is not None
    assert tent.lowest_C > 10
    assert chance(tent, watch.MOULD) == 0
    if blanket.frost_chance is not None:
        assert tent.frost_chance <= blanket.frost_chance
    assert tent.heat_from is not None
    assert ASKED <= tent.heat_from <= tent.start - HOUR
    (since,) = [one for one in tent.cautions if one.code == "heat_from"]
    assert since.values["at"] == tent.heat_from
    assert number(since, "base_C") >= 13.0  # as ACI 306R asks of a thin section as placed
    assert "heated_before" in codes(answer.answer)
    assert AFTER not in [one.protection for one in answer.options]


def test_heat_that_would_have_to_begin_before_now_is_not_offered() -> None:
    """The tent that goes up after placing is told instead, upon the cold board."""
    answer = check(replace(BENCH, placement=Placement(ASKED, 15.0)), air(-2.0))
    assert WARM_TENT not in [one.protection for one in answer.options]
    after = option(answer, AFTER)
    assert after.heat_from is None
    assert chance(after, watch.MOULD) > 0.9
    assert not any(one.heat_from for one in answer.options)


def test_the_colder_the_board_the_longer_it_is_heated_and_the_warmer_tent_the_shorter() -> None:
    def hours(mean_C: float, tent_C: float) -> float:
        tent = replace(TENT, setpoint_C=tent_C)
        scenario = replace(BENCH, rules=replace(BENCH.rules, owned=(tent, BLANKET)))
        one = option(check(scenario, air(mean_C)), WARM_TENT)
        assert one.heat_from is not None
        return (one.start - one.heat_from) / HOUR

    assert hours(-8.0, 20.0) > hours(2.0, 20.0) >= 1.0
    assert hours(-2.0, 16.0) > hours(-2.0, 25.0)


def test_a_fire_into_the_tent_is_no_way() -> None:
    burns = replace(TENT, heater="unvented")
    scenario = replace(BENCH, rules=replace(BENCH.rules, owned=(burns, BLANKET)))
    assert not any(one.heat_from for one in check(scenario, air(0.0)).options)


def test_ground_that_froze_lightly_thaws_in_a_tent_and_ground_that_froze_hard_does_not() -> None:
    pad = replace(
        BENCH,
        mould=MouldBoard("ground"),
        placement=Placement(ASKED + 30 * HOUR, 15.0, board_C=-0.5),
        rules=replace(BENCH.rules, owned=(replace(TENT, setpoint_C=25.0), BLANKET)),
    )
    lightly, hard = check(pad, air(1.0)), check(pad, air(-1.0, -9.0))
    assert chance(option(lightly, cover("blanket", faces="top")), watch.GROUND) > 0.9
    assert chance(option(lightly, WARM_TENT), watch.GROUND) <= 0.05
    assert chance(option(hard, WARM_TENT), watch.GROUND) > 0.9


def test_the_board_warms_as_a_fine_solution_of_its_conduction_does() -> None:
    """Explicit steps of a board insulated beneath, in still air of 5.6 W/m2K: the face is within a
    tenth, and is never told warmer than it is by more than a twentieth."""
    plywood = replace(BENCH, mould=MouldBoard("plywood", 18.0))
    told = heated_before._parts(plywood)[0]
    nodes, depth, k, held = 36, 0.018, 0.15, 600.0 * 1600.0
    dx = depth / nodes
    dt = 0.2 * held * dx * dx / k
    gone, at = np.zeros(nodes), 0.0
    solved = [0.0]
    for step in range(1, int(4 * 3600 / dt) + 1):
        flux = np.concatenate(
            ([(1 - gone[0]) / (1 / 5.6 + dx / (2 * k))], k / dx * -np.diff(gone), [0.0])
        )
        gone = gone - dt / (held * dx) * np.diff(flux)
        if step * dt >= (at + 0.5) * 3600:
            at += 0.5
            solved.append(float(gone.mean()))
    np.testing.assert_allclose(told[: len(solved)], solved, atol=0.1)
    assert (told[: len(solved)] <= np.array(solved) + 0.05).all()


def test_the_ground_warms_as_a_fine_solution_of_its_conduction_does() -> None:
    pad = replace(BENCH, mould=MouldBoard("ground"))
    face, mean = (part[[2, 12, 48]] for part in heated_before._parts(pad))
    nodes, dx, k, held = 150, 0.01, 2.0, 1950.0 * 1045.0
    dt = 0.2 * held * dx * dx / k
    gone = np.zeros(nodes)
    at, of_face, of_mean = [1.0, 6.0, 24.0], [], []
    for step in range(1, int(24 * 3600 / dt) + 2):
        into = (1 - gone[0]) / (1 / 5.6 + dx / (2 * k))
        gone = gone - dt / (held * dx) * np.diff(
            np.concatenate(([into], k / dx * -np.diff(gone), [0.0]))
        )
        if at and step * dt >= at[0] * 3600:
            at.pop(0)
            of_face.append(float(gone[0] + into * dx / (2 * k)))
            of_mean.append(float(gone[:30].mean()))
    np.testing.assert_allclose(face, of_face, atol=0.01)
    np.testing.assert_allclose(mean, of_mean, atol=0.015)
