"""The reason that is printed is that of the condition which opens last."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import HOUR, AirSeries
from models.coating.film import SealerSystem
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.message import Message
from models.piece.shape import Shape
from models.planning import timeline
from models.results import StepWindow
from models.simulation.scenario import Done, Placement, Scenario

POURED_AT = datetime(2026, 5, 4, 15, tzinfo=UTC)
STRONG = Mixture("high-early", (LabelStrength(24.0, 25.0), LabelStrength(672.0, 50.0)))
SETS_LATE = Mixture("rapid-setting", (LabelStrength(3.0, 20.0),), final_set_h=6.0)


def told(
    mixture: Mixture, now_h: float, done: dict[str, float], cover: Covering | None = None
) -> dict[str, StepWindow]:
    """A bench in mild dry weather at an hour after placing."""
    t = np.arange(72 + 40 * 24)
    same = np.ones(len(t))
    now = POURED_AT + now_h * HOUR
    air = AirSeries(
        POURED_AT - 72 * HOUR,
        16.0 + 4.0 * np.sin(2 * np.pi * (t - 9) / 24),
        4.0 * same,
        2.0 * same,
        0.0 * same,
        0.4 * same,
        np.nan * same,
        now,
        "made up",
    )
    scenario = Scenario(
        "bench",
        Site("covered", 44.0, 0.0),
        mixture,
        Shape("panel", 1500, 420, 60),
        Placement(POURED_AT, 18.0),
        coverings=() if cover is None else (cover,),
        sealer=SealerSystem("water-based-acrylic"),
        done=tuple(Done(step, POURED_AT + hour * HOUR) for step, hour in done.items()),
    )
    return {step.step: step for step in timeline.project(scenario, air, now).steps}


def first(step: StepWindow) -> str:
    assert step.state == "not yet"
    return next(one.code for one in step.because if not one.code.startswith("after_"))


def test_sanding_that_waits_for_air_all_round_says_so_and_not_its_strength() -> None:
    step = told(STRONG, 31.0, {"strip": 30.0, "end-wet-cure": 30.5})["sand"]
    assert first(step) == "last_air_all_round"
    assert step.safe == POURED_AT + timedelta(hours=34)
    assert step.because[0].values["comes"] == (Message("comes_at", {"at": step.safe}),)


def test_a_strip_that_waits_for_the_final_set_says_so() -> None:
    assert first(told(SETS_LATE, 2.0, {})["strip"]) == "last_final_set"


def test_a_strip_that_waits_for_strength_begins_with_its_number() -> None:
    assert first(told(Mixture("general-purpose"), 9.0, {})["strip"]) == "has_and_needs_MPa"


def test_a_coat_that_waits_for_dryness_does_not_begin_with_the_dew_point() -> None:
    done = {"strip": 24.0, "turn": 48.0, "end-wet-cure": 96.0, "sand": 100.0}
    step = told(Mixture("general-purpose"), 120.0, done)["coat-1"]
    assert first(step) in ("last_dry", "last_age")


def test_a_cover_that_waits_for_a_cooler_face_says_so() -> None:
    heated = Covering(0.0, None, "heated enclosure", setpoint_C=40.0, heater="electric")
    step = told(STRONG, 12.0, {}, heated)["uncover"]
    assert first(step) == "last_face_within"


@pytest.mark.parametrize("now_h", [3.0, 30.0])
def test_what_waits_for_the_film_of_the_last_coat_says_so(now_h: float) -> None:
    steps = told(STRONG, now_h, {})
    assert first(steps["light-use"]) in ("last_film", "step_waits_for")
