"""How far a cover reaches: over the top alone, down the sides too, or all round."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.series import AirSeries
from models.concrete.section import FACES, Covering
from models.errors import InputError
from models.planning import fumes, timeline
from models.results import PlanEntry
from models.simulation import in_force
from models.simulation.scenario import Meant, Scenario, ShopRules
from tests.support.words import laid

Panel = Callable[..., Scenario]
HOUR = timedelta(hours=1)
BLANKET = Covering(0.0, None, "blanket")


def night(cool: AirSeries, low_C: float) -> AirSeries:
    """The same days, but for one night that is so much colder, nine to seventeen hours on."""
    hour = np.arange(cool.hours) - 72
    fall = np.where((hour >= 9) & (hour <= 17), cool.air_C - low_C, 0.0)
    return replace(cool, air_C=cool.air_C - fall, dew_point_C=cool.dew_point_C - fall)


def test_a_blanket_is_proposed_down_the_sides_unless_it_is_told_to_reach_the_top_alone(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    air, now, after = night(cool, 0.5), poured_at + HOUR, {}
    for faces, reach in ((None, "sides"), ("top", "top"), ("all", "all")):
        owned = (replace(BLANKET, faces=faces),)
        answer = timeline.project(panel("open yard", rules=ShopRules(owned=owned)), air, now)
        (frost,) = (one for one in answer.alerts if one.kind == "frost")
        assert frost.remedy in (laid("blanket", reach), None)
        after[reach] = frost.chance if frost.after is None else frost.after
    assert after["sides"] < after["top"] - 0.02
    assert after["all"] <= after["sides"] + 0.005


def test_a_cover_whose_reach_was_not_told_counts_as_on_top_and_is_said_to_be_assumed(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    told = panel("open yard", coverings=(replace(BLANKET, faces="top"),))
    untold = panel("open yard", coverings=(BLANKET,))
    one, other = (timeline.project(pour, cool, poured_at + HOUR) for pour in (told, untold))
    assert one.steps == other.steps
    assert "protection.faces" in untold.resolved().assumed
    assert "protection.faces" not in told.resolved().assumed
    film = panel("open yard", coverings=(Covering(0.0, None, "film"),))
    assert "protection.faces" not in film.resolved().assumed


def test_a_plan_as_it_is_told_gives_its_own_hours_with_the_reach_of_its_covers(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    pour = panel("open yard", rules=ShopRules(owned=(BLANKET,)))
    air, now = night(cool, 0.5), poured_at + HOUR
    answer = timeline.project(pour, air, now)
    (asked,) = (one for one in answer.plan if one.cover == "blanket")
    assert (asked.step, asked.faces) == ("cover", "sides")

    def strip_of(reach: str | None) -> datetime | None:
        meant = Meant("cover", asked.at, asked.cover, faces=reach)
        told = timeline.project(replace(pour, plan=(meant,)), air, now)
        (row,) = (one for one in told.plan if one.cover == "blanket")
        assert row == PlanEntry("cover", asked.at, "maker", "blanket", faces=reach or "top")
        return next(one.safe for one in told.steps if one.step == "strip")

    as_told = next(one.safe for one in answer.steps if one.step == "strip")
    assert strip_of("sides") == as_told
    on_top, untold = strip_of("top"), strip_of(None)
    assert on_top is not None
    assert as_told is not None
    assert untold == on_top > as_told


@pytest.mark.parametrize("faces", FACES)
def test_each_reach_insulates_the_faces_that_it_names(panel: Panel, faces: str) -> None:
    bare = in_force.schedule(panel())
    lies = in_force.schedule(panel(coverings=(replace(BLANKET, faces=faces),)))
    top, side, under = (
        float((getattr(lies, name) - getattr(bare, name))[0])
        for name in ("R_top", "R_side", "R_bottom")
    )
    assert top == pytest.approx(0.5, abs=1e-12)
    assert side == pytest.approx(0.0 if faces == "top" else 0.5, abs=1e-12)
    assert under == pytest.approx(0.5 if faces == "all" else 0.0, abs=1e-12)


def test_film_and_tents_are_proposed_as_they_are_owned() -> None:
    film = Covering(0.0, None, "film")
    tent = Covering(0.0, None, "heated enclosure", setpoint_C=10.0)
    assert fumes.proposed((film, tent)) == [film, tent]


@pytest.mark.parametrize("faces", ["bottom", ""])
def test_a_reach_that_is_none_is_refused(faces: str, poured_at: datetime) -> None:
    with pytest.raises(InputError) as refused:
        Covering(0.0, None, "blanket", faces=faces)
    assert refused.value.field == "faces"
    with pytest.raises(InputError) as refused:
        Meant("strip", poured_at, faces="top")
    assert refused.value.field == "faces"
