"""A5: the windows are those of a piece under the protection that the alert asks for, and say so."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, time, timedelta

import numpy as np
import pytest

from models.air.series import AirSeries
from models.concrete.section import Covering
from models.message import Message, Value
from models.planning import timeline
from models.results import Alert, Projection, StepWindow
from models.simulation.scenario import Meant, Scenario, ShopRules
from tests.support.words import laid

Panel = Callable[..., Scenario]
HOUR = timedelta(hours=1)
ALWAYS = (time(0), time(0))
# round the sides too, which one on the open face leaves bare
FOAM = Covering(0.0, None, "foam", 1.2, faces="all")
OWNED = ShopRules(owned=(Covering(0.0, None, "film"), FOAM))
NOTHING_HELPS = ShopRules(working_hours=ALWAYS, owned=(Covering(0.0, None, "wet cover", 0.0),))


def colder(air: AirSeries, by_K: float) -> AirSeries:
    return replace(air, air_C=air.air_C - by_K, dew_point_C=air.dew_point_C - by_K)


def frost(answer: Projection) -> Alert:
    return next(one for one in answer.alerts if one.kind == "frost")


def window(answer: Projection, step: str) -> StepWindow:
    return next(one for one in answer.steps if one.step == step)


@pytest.mark.parametrize("by_K", [4.5, 7.0])
def test_the_windows_are_those_with_the_cover_that_the_alert_asks_for(
    panel: Panel, cool: AirSeries, poured_at: datetime, by_K: float
) -> None:
    pour, air, now = panel(rules=OWNED), colder(cool, by_K), poured_at + HOUR
    answer = timeline.project(pour, air, now)
    asked = [one for one in answer.plan if one.step == "cover" and one.cover == "foam"]
    assert [one.set_by for one in asked] == ["default"]
    assert asked[0].at >= frost(answer).act_by
    lies = replace(FOAM, from_h=pour.hour(asked[0].at))
    covered = timeline.project(replace(pour, coverings=(lies,)), air, now)
    for step in ("strip", "turn"):
        assert window(answer, step).safe == window(covered, step).safe


def test_the_chance_of_frost_stays_that_of_the_piece_as_it_stands(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    pour, air, now = panel(rules=OWNED), colder(cool, 5.0), poured_at + HOUR
    nothing = timeline.project(replace(pour, rules=NOTHING_HELPS), air, now)
    answer = timeline.project(pour, air, now)
    assert nothing.if_covered is None
    assert frost(nothing).remedy is None
    assert frost(answer).chance == pytest.approx(frost(nothing).chance, abs=1e-9)
    assert answer.frost_watch is not None
    assert nothing.frost_watch is not None
    assert answer.frost_watch.chance == pytest.approx(nothing.frost_watch.chance, abs=1e-9)


def test_the_answer_says_by_when_the_cover_must_lie(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    pour, air, now = panel(rules=OWNED), colder(cool, 4.5), poured_at + HOUR
    answer = timeline.project(pour, air, now)
    by = frost(answer).act_by
    assert by > now + HOUR
    values: dict[str, Value] = {"cover": laid("foam", "all"), "at": by}
    assert answer.if_covered == Message("hours_if_covered", values)
    assert answer.if_covered in answer.warnings
    mild = timeline.project(pour, cool, now)
    assert mild.if_covered is None


def test_a_printed_cover_put_back_prints_the_same_hours(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    pour, air, now = panel(rules=OWNED), colder(cool, 5.0), poured_at + HOUR
    first = timeline.project(pour, air, now)
    meant = tuple(Meant(one.step, one.at, one.cover, one.heat) for one in first.plan)
    again = timeline.project(replace(pour, plan=meant), air, now)
    assert [(one.step, one.at, one.cover) for one in again.plan] == [
        (one.step, one.at, one.cover) for one in first.plan
    ]
    assert [(s.step, s.safe) for s in again.steps] == [(s.step, s.safe) for s in first.steps]
    assert again.if_covered == first.if_covered


def test_about_the_allowed_chance_an_hour_moves_only_by_what_the_cover_brings(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """The night falls by a fifth of a kelvin while the chance passes what may be run."""
    rules = ShopRules(working_hours=ALWAYS, owned=OWNED.owned)
    pour, now = panel(rules=rules), poured_at + HOUR
    asked: list[bool] = []
    hours: list[float] = []
    bare: list[float] = []
    for by_K in np.arange(1.8, 3.41, 0.2):
        air = colder(cool, float(by_K))
        answer = timeline.project(pour, air, now)
        stands = timeline.project(replace(pour, rules=NOTHING_HELPS), air, now)
        asked.append(answer.if_covered is not None)
        for kept, one in ((hours, answer), (bare, stands)):
            safe = window(one, "strip").safe
            assert safe is not None
            kept.append(pour.hour(safe))
    assert asked == sorted(asked)
    assert len(set(asked)) == 2
    told, alone = np.array(hours), np.array(bare)
    brings = alone - told
    assert np.all(brings >= -0.02)
    assert np.all(brings[~np.array(asked)] == pytest.approx(0.0, abs=0.02))
    step = np.abs(np.diff(told)) - np.maximum(brings[1:], brings[:-1])
    assert np.max(step / told[1:]) < 0.03
