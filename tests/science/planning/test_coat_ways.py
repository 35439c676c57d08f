"""The next coat here, under a roof, indoors, in a tent, with electric heat: when, and why then."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.section import Covering, MouldBoard
from models.planning import timeline
from models.results import CoatWay, Projection
from models.simulation.scenario import Done, Meant, Scenario, ShopRules

Panel = Callable[..., Scenario]
HOUR = timedelta(hours=1)
ROOM = Site("heated room", setpoint_C=20.0, heater="electric")
NOW_H = 110.0


@pytest.fixture
def outdoors(panel: Panel, poured_at: datetime) -> Callable[..., Scenario]:
    """A stripped, sanded panel in a yard that is too cold for an acrylic; its age is no matter."""
    done = tuple(
        Done(step, poured_at + hour * HOUR)
        for step, hour in (("strip", 40.0), ("turn", 50.0), ("end-wet-cure", 60.0), ("sand", 70.0))
    )

    def build(kind: str = "open yard", rules: ShopRules | None = None, **more: object) -> Scenario:
        pour = panel(kind, done=done, rules=rules or ShopRules(), **more)
        return replace(pour, sealer=replace(pour.sealer, min_age_d=0.0, coats=2))

    return build


@pytest.fixture(scope="module")
def dry(cool: AirSeries) -> AirSeries:
    return replace(cool, air_C=cool.air_C - 3, dew_point_C=cool.dew_point_C - 9)


def told(pour: Scenario, air: AirSeries, now_h: float = NOW_H) -> Projection:
    return timeline.project(pour, air, pour.placement.at + now_h * HOUR)


def ways(pour: Scenario, air: AirSeries, now_h: float = NOW_H) -> dict[str, CoatWay]:
    plan = told(pour, air, now_h).coat_plan
    assert plan is not None
    return {one.way.code: one for one in plan.ways}


def test_indoors_opens_where_the_yard_is_too_cold_and_each_says_what_governs(
    outdoors: Callable[..., Scenario], dry: AirSeries
) -> None:
    found = ways(outdoors(rules=ShopRules(indoors=ROOM)), dry)
    assert list(found) == ["coat_way_here", "coat_way_roof", "coat_way_indoors"]
    here, indoors = found["coat_way_here"], found["coat_way_indoors"]
    assert here.safe is None
    assert indoors.p50 is not None
    assert here.p50 is None or indoors.p50 < here.p50
    assert all(one.because for one in found.values())
    assert indoors.asks[0].code in ("lift_by_team", "lift_by_hoist", "lift_alone")
    assert [(one.step, one.place) for one in indoors.acts] == [("carry-in", "indoors")]


def test_the_acts_of_a_way_put_into_the_plan_give_its_hours(
    outdoors: Callable[..., Scenario], dry: AirSeries
) -> None:
    rules = ShopRules(indoors=ROOM)
    way = ways(outdoors(rules=rules), dry)["coat_way_indoors"]
    acts = tuple(Meant(a.step, a.at, a.cover, a.heat, a.place) for a in way.acts)
    again = told(outdoors(rules=rules, plan=acts), dry)
    coat = next(one for one in again.steps if one.step == "coat-1")
    assert (coat.p50, coat.p90, coat.safe) == (way.p50, way.p90, way.safe)


def test_a_tent_of_the_shop_is_a_way_and_what_burns_in_a_closed_place_is_none(
    outdoors: Callable[..., Scenario], dry: AirSeries
) -> None:
    tent = Covering(0.0, None, "heated enclosure", setpoint_C=18.0)
    assert "coat_way_tent" in ways(outdoors(rules=ShopRules(owned=(tent,))), dry)
    burns = replace(tent, heater="unvented")
    room = replace(ROOM, heater="unvented")
    found = ways(outdoors(rules=ShopRules(owned=(burns,), indoors=room)), dry)
    assert set(found) <= {"coat_way_here", "coat_way_roof"}


def test_what_is_cast_in_place_is_not_carried(
    outdoors: Callable[..., Scenario], dry: AirSeries
) -> None:
    rules = ShopRules(indoors=ROOM)
    found = ways(outdoors(rules=rules, mould=MouldBoard("ground")), dry)
    assert "coat_way_indoors" not in found


def test_an_unheated_room_is_heated_by_electric_heat_and_a_fan_dries_the_next_coat(
    outdoors: Callable[..., Scenario], dry: AirSeries
) -> None:
    pour = outdoors("unheated room")
    found = ways(pour, dry)
    assert set(found) == {"coat_way_here", "coat_way_heat"}
    assert found["coat_way_heat"].asks[0].code == "heat_electric_only"
    mild = replace(dry, air_C=dry.air_C + 9, dew_point_C=dry.dew_point_C + 9)
    coated = replace(pour, done=(*pour.done, Done("coat-1", pour.placement.at + NOW_H * HOUR)))
    next_coat = ways(coated, mild, NOW_H + 0.1)
    here, fan = next_coat["coat_way_here"], next_coat["coat_way_fan"]
    assert here.step == fan.step == "coat-2"
    assert here.p50 is not None
    assert fan.p50 is not None
    assert fan.p50 <= here.p50


def test_no_way_is_told_before_the_forecast_reaches_the_end_of_the_damp_cure(
    panel: Panel, cool: AirSeries
) -> None:
    cold = replace(cool, air_C=cool.air_C - 8, dew_point_C=cool.dew_point_C - 8)
    assert ways(panel("open yard"), cold, 1.0) == {}
