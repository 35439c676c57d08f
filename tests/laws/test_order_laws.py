"""One order of steps: none before the one it waits for, no end before its own beginning."""

from collections.abc import Callable
from datetime import timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.air.series import AirSeries
from models.concrete.section import Covering
from models.facts.cements import CLASSES
from models.piece.shape import Shape
from models.planning import default_plan, timeline, windows
from models.results import StepWindow
from models.simulation import physics
from models.simulation.scenario import Done, Scenario
from tests.support.thorough import some

AirOf = Callable[..., AirSeries]
PourOf = Callable[..., Scenario]
BOX = Shape("box", 700.0, 700.0, height_mm=600.0, wall_mm=50.0)


def steps_of(
    pour: Scenario, air: AirSeries, now_h: float, hours: int = 504
) -> dict[str, StepWindow]:
    """The steps as they are told at an hour from placing, with few members to be quick."""
    now = pour.placement.at + timedelta(hours=now_h)
    simulation = default_plan.simulated(pour, air, now, hours, 24)
    assert isinstance(simulation, physics.Simulation)
    told = timeline.planned(pour, simulation, now_h)[0]
    return {one.step: windows.window(pour, simulation, one, when, now) for one, when in told}


def done(pour: Scenario, **hours: float) -> tuple[Done, ...]:
    at = pour.placement.at
    return tuple(
        Done(step.replace("_", "-"), at + timedelta(hours=hour)) for step, hour in hours.items()
    )


@settings(max_examples=some(8, 2000))
@given(
    mix=st.sampled_from(sorted(CLASSES)),
    mean=st.floats(0.0, 30.0),
    swing=st.floats(0.0, 8.0),
    boxed=st.booleans(),
    now_h=st.floats(0.2, 60.0),
    covered=st.booleans(),
)
def test_no_window_ends_before_it_begins_and_none_is_told_before_the_step_it_waits_for(
    air_of: AirOf,
    pour_of: PourOf,
    mix: str,
    mean: float,
    swing: float,
    boxed: bool,
    now_h: float,
    covered: bool,
) -> None:
    """P5: a window could end before it began."""
    coverings = (Covering(1.0, None, "blanket"),) if covered else ()
    pour = pour_of("covered", mix, coverings=coverings, **({"shape": BOX} if boxed else {}))
    told = steps_of(pour, air_of(mean, swing), now_h)
    assert ("uncover" in told) == covered
    for step in told.values():
        if step.latest is not None:
            assert step.p90 is None or step.latest >= step.p90, step
            assert step.p50 is None or step.latest >= step.p50, step
        if step.after:
            assert step.state in ("not yet", "blocked", "frozen"), step
            assert all(at is None or at > pour.placement.at for at in (step.p50, step.p90)), step
    for first, then in pairwise(told[name] for name in ("strip", "sand", "hone")):
        if first.p90 is not None and then.p90 is not None:
            assert then.p90 >= first.p90


def test_a_window_too_short_to_be_sure_says_so_in_one_sentence_and_tells_no_sure_hour(
    air_of: AirOf, pour_of: PourOf
) -> None:
    pour = pour_of("open yard", placed_C=None)  # how warm it went in is not known
    cover = steps_of(pour, air_of(8.0, 8.0), 0.5)["cover"]
    assert cover.p90 is None
    assert cover.latest is not None
    assert cover.p50 is not None
    assert cover.p50 < cover.latest
    assert [one.code for one in cover.because].count("window_too_short") == 1
    assert cover.state == "not yet"


def test_turning_waits_for_stripping_and_does_not_chase_the_hour(
    air_of: AirOf, pour_of: PourOf
) -> None:
    """P11: hours slid with the clock."""
    pour, air = pour_of(mix="high-early"), air_of(20.0)
    seen = [steps_of(pour, air, float(hour))["turn"] for hour in range(30, 150, 20)]
    for hour, turn in zip(range(30, 150, 20), seen, strict=True):
        assert turn.after == "strip"
        assert turn.state == "not yet"
        assert turn.because[0].code in ("after_step", "after_step_not_done")
        assert turn.because[0].values["step"] == "strip"
        now = pour.placement.at + timedelta(hours=hour)
        assert turn.p90 is None or turn.p90 > now + timedelta(minutes=1)
    told = {turn.p90.replace(second=0) for turn in seen if turn.p90 is not None}
    assert len({at.date() for at in told}) <= 1  # one hour, not one that moves along


@pytest.mark.parametrize("missing", ["strip", "sand"])
def test_honing_comes_after_stripping_and_sanding_however_strong_it_is(
    air_of: AirOf, pour_of: PourOf, missing: str
) -> None:
    """P11: hours slid with the clock, and steps were offered out of order."""
    pour, air = pour_of(mix="rapid-setting"), air_of(20.0, hours=400)
    made = {} if missing == "strip" else {"strip": 8.0}
    hone = steps_of(pour_of(mix="rapid-setting", done=done(pour, **made)), air, 200.0)["hone"]
    assert hone.state == "not yet"
    assert hone.after == "sand"
    made = {"strip": 8.0, "sand": 30.0}
    hone = steps_of(pour_of(mix="rapid-setting", done=done(pour, **made)), air, 200.0)["hone"]
    assert (hone.state, hone.after) == ("open", "")


def test_a_step_that_was_done_speaks_for_those_before_it(air_of: AirOf, pour_of: PourOf) -> None:
    pour = pour_of(mix="rapid-setting")
    turned = pour_of(mix="rapid-setting", done=done(pour, turn=10.0))
    assert steps_of(turned, air_of(20.0), 200.0)["sand"].after == ""


def test_only_bare_hours_dry_one_face(air_of: AirOf, pour_of: PourOf) -> None:
    """Stripped for five days under the film of its wet cure it may still be turned; two days after
    the film came off one face has dried alone."""
    air, pour = air_of(20.0, hours=600), pour_of(mix="high-early")
    under = pour_of(mix="high-early", done=done(pour, strip=48.0))
    turn = steps_of(under, air, 168.0)["turn"]
    assert (turn.state, turn.latest) == ("open", None)
    bare = pour_of(mix="high-early", done=done(pour, strip=48.0, end_wet_cure=150.0))
    turn = steps_of(bare, air, 168.0)["turn"]
    assert turn.latest is not None
    assert (turn.latest - pour.placement.at) / timedelta(hours=1) == pytest.approx(198.0, abs=1.5)
    assert steps_of(bare, air, 240.0)["turn"].state == "past"
    again = Covering(160.0, None, "film")
    shut = pour_of(mix="high-early", done=bare.done, coverings=(again,))
    assert steps_of(shut, air, 240.0)["turn"].state == "open"
