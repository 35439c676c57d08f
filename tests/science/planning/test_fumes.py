"""Heat always has a kind: burning into a closed place is told first and never proposed."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.section import Covering
from models.errors import Unknown
from models.message import Message, text
from models.planning import fumes, pour_check, protection, timeline
from models.results import PourAnswer, Projection
from models.simulation.scenario import Placement, Scenario, ShopRules
from service.answer_fields import as_json
from service.cli import printed
from service.notify import words
from service.words import Reader, say, sentence
from tests.support.thorough import some
from tests.support.words import INDOORS, codes, said, tells, within

HERE = Reader("America/Chicago")

HOUR = timedelta(hours=1)
TENT = Covering(0.0, None, "heated enclosure", setpoint_C=15.0)
BURNER = replace(TENT, heater="unvented")


def cold(cool: AirSeries, by_K: float) -> AirSeries:
    return replace(cool, air_C=cool.air_C - by_K, dew_point_C=cool.dew_point_C - by_K)


def first(answer: Projection) -> list[Message]:
    """What stands first in the warnings, and in each step still to come."""
    steps = [step.cautions[0] for step in answer.steps if step.state not in ("done", "past")]
    return [answer.warnings[0], *steps]


@pytest.mark.parametrize("kind", some(["covered"], ["unheated room", "covered", "open yard"]))
def test_every_heat_that_is_proposed_says_that_it_is_electric(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime, kind: str
) -> None:
    told: list[Message] = []
    for by_K in (2.0, 5.0, 8.0, 20.0):
        scenario = panel(kind, rules=ShopRules(owned=(Covering(0.0, None, "film"), TENT)))
        answer = timeline.project(scenario, cold(cool, by_K), poured_at + 2 * HOUR)
        told += [one for step in answer.steps for one in step.earlier_if]
        told += [one.text for one in answer.alerts]
        told += [one.remedy for one in answer.alerts if one.remedy]
        told += [one for one in answer.warnings if one.code != "heat_untold"]
        check = pour_check.check(scenario, cold(cool, by_K), poured_at, only=poured_at)
        told += [check.answer, *check.because, *check.cautions]
        told += [one.protection for one in check.options]
    tents = [one for one in within(*told) if one.values.get("cover") == "heated enclosure"]
    assert tents
    for tent in tents:
        assert "heat_electric" in codes(tent)
    assert Message("heat_from_now", {"setpoint_C": 20.0}) in within(*told)


@pytest.mark.parametrize("where", ["room", "tent"])
def test_a_heater_that_burns_inside_is_told_before_all_else(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime, where: str
) -> None:
    room = panel(site=Site("heated room", setpoint_C=15.0, heater="unvented"))
    scenario = room if where == "room" else panel("unheated room", coverings=(BURNER,))
    answer = timeline.project(scenario, cool, poured_at + 5 * HOUR)
    assert {*first(answer), answer.alerts[0].text} == {fumes.FUMES}
    alert = answer.alerts[0]
    assert (alert.kind, alert.chance, alert.text) == ("fumes", 1.0, fumes.FUMES)
    assert alert.remedy == Message("heat_electric")
    assert alert.act_by <= poured_at + 5 * HOUR
    page = printed.timeline(answer, scenario, "made up", poured_at + 5 * HOUR, HERE)
    assert page.index(said("print_danger", danger=said("fumes")[:16])) < page.index("probably from")
    blind = timeline.project(
        scenario, Unknown(text("weather"), text("none"), text("fetch")), poured_at + 5 * HOUR
    )
    assert blind.alerts[0].kind == "fumes"
    assert set(first(blind)) == {fumes.FUMES}
    electric = replace(
        scenario,
        site=replace(scenario.site, heater=None),
        coverings=(replace(BURNER, heater="electric"),),
    )
    quiet = timeline.project(electric, cool, poured_at + 5 * HOUR)
    assert fumes.FUMES not in quiet.warnings


def test_a_burner_that_was_taken_away_is_told_no_more(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    scenario = panel("unheated room", coverings=(replace(BURNER, to_h=30.0),))
    assert timeline.project(scenario, cool, poured_at + 29 * HOUR).alerts[0].kind == "fumes"
    after = timeline.project(scenario, cool, poured_at + 31 * HOUR)
    assert not [alert for alert in after.alerts if alert.kind == "fumes"]
    assert fumes.FUMES not in after.warnings


def asked(scenario: Scenario, air: AirSeries) -> PourAnswer:
    return pour_check.check(scenario, air, scenario.placement.at, only=scenario.placement.at)


def test_no_piece_is_sent_under_or_into_a_burner_and_its_owner_hears_why(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    bitter = cold(cool, 12.0)
    room = Site("heated room", setpoint_C=18.0, heater="unvented")
    rules = ShopRules(owned=(Covering(0.0, None, "film"), BURNER), indoors=room)
    scenario = panel("open yard", rules=rules, placement=Placement(poured_at, 18.0))
    assert not [
        way
        for way in protection.options(scenario)
        if way.indoors or any(covering.heats for covering in way.coverings)
    ]
    answer = asked(scenario, bitter)
    assert answer.answer.code == "wait"
    assert answer.cautions[0] == fumes.FUMES
    cited = {text.split(":")[0] for text in answer.sources}
    assert {"CPSC_MONOXIDE", "CDC_MONOXIDE", "UNVENTED_HEATERS", "ACI_306R"} <= cited
    page = printed.pour_check(answer, scenario, "made up", poured_at, HERE)
    danger = sentence((fumes.FUMES,), HERE)
    answer_at = page.index(said("print_answer", answer=answer.answer))
    assert page.index(said("print_danger", danger=danger[:16])) < answer_at
    frost = next(
        a for a in timeline.project(scenario, bitter, poured_at).alerts if a.kind == "frost"
    )
    assert frost.remedy is None
    vented = replace(
        rules, owned=(replace(BURNER, heater="vented"),), indoors=replace(room, heater="vented")
    )
    answer = asked(replace(scenario, rules=vented), bitter)
    assert INDOORS in within(answer.answer)
    assert fumes.FUMES not in answer.cautions
    assert "heat_vented" in codes(*(o.protection for o in answer.options))
    blind = pour_check.check(
        scenario, Unknown(text("weather"), text("none"), text("fetch")), poured_at
    )
    assert blind.cautions[0] == fumes.FUMES


def test_the_notice_of_a_burner_says_what_to_do_and_whom_it_kills(
    panel: Callable[..., Scenario], cool: AirSeries, poured_at: datetime
) -> None:
    scenario = panel("unheated room", coverings=(BURNER,))
    alert = timeline.project(scenario, cool, poured_at + 5 * HOUR).alerts[0]
    assert alert.remedy is not None
    facts = {
        "piece": "Bench",
        "step": "fumes",
        "because": [as_json(alert.text)],
        "cautions": [],
        "confidence": 0.9,
        "remedy": as_json(alert.remedy),
        "act_by": alert.act_by.isoformat(),
    }
    told = words.notice("k", "fumes", facts, poured_at + 9 * HOUR, HERE)
    assert tells(told.title, "against_fumes", remedy=say(alert.remedy, HERE))
    assert tells(told.body, "fumes")
