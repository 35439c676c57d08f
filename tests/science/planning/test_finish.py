"""A finish of several products: order, windows of each, one chance of all, and what wets it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.errors import InputError
from models.facts.finishes import FAMILIES, NEVER_ON
from models.facts.sealers import CHEMISTRIES
from models.planning import coat_plan, default_plan, timeline
from models.results import CoatPlan, Projection, StepWindow
from models.simulation import physics
from models.simulation.scenario import Done, Scenario
from service import scenario_file

Panel = Callable[..., Scenario]
HOUR = timedelta(hours=1)
DENSIFIER = SealerSystem("densifier", coats=1, min_age_d=1, dwell_h=0.5, next_after_h=12)
ACRYLIC = SealerSystem("water-based-acrylic", coats=2, min_age_d=2, dry_rh_pct=98)
WAX = SealerSystem("wax", coats=1, min_age_d=2, dry_rh_pct=98)
MADE = (("strip", 30), ("turn", 31), ("end-wet-cure", 40))


@pytest.fixture(scope="module")
def warm(cool: AirSeries) -> AirSeries:
    return replace(cool, air_C=cool.air_C + 12, dew_point_C=cool.dew_point_C)


def finished(panel: Panel, at: datetime, *systems: SealerSystem, **done: float) -> Scenario:
    first, *then = systems
    made = (*MADE, *((step.replace("_", "-"), hour) for step, hour in done.items()))
    steps = tuple(Done(step, at + hour * HOUR) for step, hour in made)
    return panel(sealer=first, then=tuple(then), done=steps)


def step(answer: Projection, key: str) -> StepWindow:
    return next(one for one in answer.steps if one.step == key)


def plan_of(answer: Projection) -> CoatPlan:
    assert answer.coat_plan is not None
    return answer.coat_plan


@pytest.mark.parametrize("upper", CHEMISTRIES)
@pytest.mark.parametrize("lower", CHEMISTRIES)
def test_what_cannot_lie_on_what_is_refused_by_both_names(
    panel: Panel, upper: str, lower: str
) -> None:
    told = {"sealer": SealerSystem(lower), "then": (SealerSystem(upper),)}
    if (FAMILIES[upper], FAMILIES[lower]) not in NEVER_ON:
        panel(**told)
        return
    with pytest.raises(InputError) as refused:
        panel(**told)
    assert refused.value.field == "finish[1].chemistry"
    assert refused.value.wrong == f"{upper} over {lower}"


def test_a_film_on_wax_is_refused_however_much_lies_between(panel: Panel) -> None:
    with pytest.raises(InputError, match="epoxy over wax"):
        panel(sealer=WAX, then=(SealerSystem("polish"), SealerSystem("epoxy")))


def test_every_order_that_never_holds_is_of_known_families() -> None:
    assert set(FAMILIES) == set(CHEMISTRIES)
    assert {one for pair in NEVER_ON for one in pair} <= set(FAMILIES.values())


def test_each_product_waits_for_the_one_under_it(
    panel: Panel, warm: AirSeries, poured_at: datetime
) -> None:
    answer = timeline.project(
        finished(panel, poured_at, DENSIFIER, ACRYLIC, WAX), warm, poured_at + 41 * HOUR
    )
    plan = plan_of(answer)
    assert [one.step for one in plan.coats] == ["coat-1", "coat-2", "coat-3", "coat-4"]
    at = [one.at for one in plan.coats]
    assert None not in at
    assert at[1] - at[0] >= 12 * HOUR  # type: ignore[operator]
    assert at[3] - at[2] >= 24 * HOUR  # type: ignore[operator]
    assert [one.coats for one in plan.products] == [("coat-1",), ("coat-2", "coat-3"), ("coat-4",)]
    assert sum(one.net_l for one in plan.products) == pytest.approx(plan.net_l)
    (wiped,) = plan.products[0].wipe_at
    assert wiped == at[0] + HOUR / 2  # type: ignore[operator]
    assert step(answer, "coat-2").after == "coat-1"
    assert step(answer, "rain-safe").after == "coat-4"
    chances = [one.chance for one in plan.coats]
    assert chances == sorted(chances, reverse=True), "each counts with all that lies under it"
    assert plan.chance == chances[-1]


def test_a_finish_of_one_is_that_sealer(
    warm: AirSeries, poured_at: datetime, tmp_path: Path
) -> None:
    text = """
[place]
kind = "covered"
[mix]
class = "general-purpose"
[piece]
shape = "panel"
length_mm = 1200
width_mm = 600
thickness_mm = 50
[pour]
at = 2025-10-20T16:00:00Z
{}
chemistry = "water-based-acrylic"
coats = 2
"""
    answers = []
    for head in ("[sealer]", "[[finish]]"):
        path = tmp_path / "one.toml"
        path.write_text(text.format(head))
        scenario = scenario_file.read(path).scenario
        answers.append(timeline.project(scenario, warm, poured_at + 41 * HOUR))
    assert answers[0].coat_plan == answers[1].coat_plan
    assert answers[0].steps == answers[1].steps


def test_a_file_that_tells_both_a_sealer_and_a_finish_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "both.toml"
    path.write_text(
        '[place]\nkind = "covered"\n[mix]\nclass = "general-purpose"\n[piece]\nshape = "block"\n'
        "length_mm = 300\nwidth_mm = 300\nheight_mm = 300\n[pour]\nat = 2025-10-20T16:00:00Z\n"
        '[sealer]\nchemistry = "wax"\n[[finish]]\nchemistry = "wax"\n'
    )
    with pytest.raises(InputError) as refused:
        scenario_file.read(path)
    assert refused.value.field == "sealer"


def test_what_lies_under_without_an_hour_leaves_the_next_without_one(
    panel: Panel, warm: AirSeries, poured_at: datetime
) -> None:
    old = replace(DENSIFIER, min_age_d=60)
    answer = timeline.project(finished(panel, poured_at, old, ACRYLIC), warm, poured_at + 41 * HOUR)
    plan = plan_of(answer)
    assert [one.at for one in plan.coats] == [None] * 3
    assert not plan.sure
    assert step(answer, "coat-2").state != "open"
    assert step(answer, "full-use").safe is None


def test_a_done_product_lets_the_next_on_by_its_own_hour(
    panel: Panel, warm: AirSeries, poured_at: datetime
) -> None:
    pour = finished(panel, poured_at, DENSIFIER, ACRYLIC, coat_1=45)
    plan = plan_of(timeline.project(pour, warm, poured_at + 46 * HOUR))
    assert plan.coats[0].done_at == poured_at + 45 * HOUR
    assert plan.coats[1].at is not None
    assert plan.coats[1].at >= poured_at + 57 * HOUR


def test_an_acid_that_is_rinsed_off_keeps_the_face_waiting_until_it_is_dry_again(
    panel: Panel, warm: AirSeries, poured_at: datetime
) -> None:
    acid = SealerSystem("acid-stain", min_age_d=1, next_after_h=1, dwell_h=2, dry_rh_pct=98)
    dye = replace(acid, chemistry="stain", dwell_h=None)
    over = replace(ACRYLIC, dry_rh_pct=99, min_age_d=1)
    opens = []
    for system in (dye, acid):
        pour = finished(panel, poured_at, system, over, coat_1=45)
        answer = timeline.project(pour, warm, poured_at + 46 * HOUR)
        coat = plan_of(answer).coats[1].at
        assert coat is not None
        opens.append(coat)
    assert opens[1] >= poured_at + (45 + 2 + 24) * HOUR
    assert opens[0] < opens[1]
    codes = {one.code for one in step(answer, "coat-2").because}
    assert "product_under_rinsed" in codes


def test_filling_and_honing_rounds_wet_the_face_before_the_next_product(
    panel: Panel, warm: AirSeries, poured_at: datetime
) -> None:
    hours = {}
    for step_ in ("", "hone", "patch"):
        done = {"sand": 41.0} | ({step_: 42.0} if step_ else {})
        pour = finished(panel, poured_at, replace(ACRYLIC, dry_rh_pct=99), **done)
        at = plan_of(timeline.project(pour, warm, poured_at + 43 * HOUR)).coats[0].at
        assert at is not None
        hours[step_] = (at - poured_at) / HOUR
    assert hours[""] < 42 + 24 <= hours["hone"]
    assert hours["patch"] >= 42 + 72, "its slurry is kept moist for three days"


def test_use_waits_for_every_film_and_not_only_for_the_last(
    panel: Panel, warm: AirSeries, poured_at: datetime
) -> None:
    slow = replace(ACRYLIC, full_use_h=400.0)
    done = {"coat_1": 50.0, "coat_2": 53.0, "coat_3": 80.0}
    pour = finished(panel, poured_at, slow, replace(WAX, full_use_h=24.0), **done)
    full = step(timeline.project(pour, warm, poured_at + 81 * HOUR), "full-use")
    assert full.safe is not None
    assert full.safe >= poured_at + (53 + 400) * HOUR


def test_no_weather_leaves_every_product_without_hours(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    dry = replace(cool, dew_point_C=np.nan * cool.dew_point_C)
    pour = finished(panel, poured_at, DENSIFIER, WAX)
    answer = timeline.project(pour, dry, poured_at + 41 * HOUR)
    assert [one.at for one in plan_of(answer).coats] == [None, None]
    assert step(answer, "coat-2").state == "blocked"


EPOXY = SealerSystem("epoxy", coats=1, min_age_d=1, dry_rh_pct=99, next_after_h=8)
URETHANE = SealerSystem("two-part-urethane", coats=2, min_age_d=1, dry_rh_pct=99)


@pytest.mark.parametrize(
    ("after_h", "says"), [(12, ()), (40, ("recoat_will_be_late",)), (96, ("recoat_too_late",))]
)
def test_a_film_that_has_hardened_is_abraded_before_another_product(
    panel: Panel, warm: AirSeries, poured_at: datetime, after_h: float, says: tuple[str, ...]
) -> None:
    """Its sheet bears a next coat for 48 h, whichever product that is of."""
    under = replace(EPOXY, recoat_max_h=48)
    over = URETHANE if after_h < 40 else replace(URETHANE, min_age_d=5)
    pour = finished(panel, poured_at, under, over, coat_1=45)
    now = poured_at + (45 + after_h) * HOUR
    because = step(timeline.project(pour, warm, now), "coat-2").because
    assert tuple(one.code for one in because if one.code.startswith("recoat_")) == says
    if says:
        (told,) = [one for one in because if one.code in says]
        assert told.values["last_at"] == poured_at + (45 + 48) * HOUR


def test_no_coat_is_sure_on_what_may_not_hold(
    panel: Panel, warm: AirSeries, poured_at: datetime
) -> None:
    """Where the product beneath holds in four of five members, none over it is safe at 0.9; where
    it holds in all, it is."""
    now_h = 72.0
    for second in (ACRYLIC, URETHANE):
        pour = finished(panel, poured_at, DENSIFIER, second, coat_1=45)
        found = default_plan.simulated(pour, warm, poured_at + now_h * HOUR, 400, 64)
        assert isinstance(found, physics.Simulation)
        trajectory = found.trajectory
        alive = np.cumsum(trajectory.weight) <= 0.81
        ready_h = np.full(trajectory.members, now_h)
        face_dry = np.ones(trajectory.top_C.shape, dtype=np.bool_)
        sure = []
        for holds in (np.ones_like(alive), alive):
            made = coat_plan.coated(
                pour,
                trajectory,
                ready_h,
                face_dry,
                now_h,
                (),
                product=pour.resolved().finish[1],
                alive=holds,
            )
            assert made.plan.coats[0].at is not None
            sure.append([np.isfinite(when.safe) for _, when in made.openings])
        assert sure == [[True, True], [False, False]]
