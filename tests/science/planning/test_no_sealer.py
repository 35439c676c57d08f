"""A32: where nobody told a sealer, no coat is made up: the piece ends at dry enough to seal."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.facts.sealers import CHEMISTRIES
from models.planning import timeline
from models.results import Projection, StepWindow
from models.simulation.scenario import Done, Scenario

Panel = Callable[..., Scenario]
HOUR = timedelta(hours=1)
HANG_ON_A_FILM = {"rain-safe", "light-use", "full-use", "de-icing", "reseal"}


def step(answer: Projection, key: str) -> StepWindow:
    return next(one for one in answer.steps if one.step == key)


def test_without_a_sealer_no_coat_is_made_up_and_the_piece_ends_at_dry_enough_to_seal(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    answer = timeline.project(panel(sealer=SealerSystem()), cool, poured_at + HOUR)
    keys = [one.step for one in answer.steps]
    assert not [key for key in keys if key.startswith("coat-")]
    assert not HANG_ON_A_FILM & set(keys)
    assert answer.coat_plan is None
    assert not [one for one in answer.plan if one.step.startswith("coat-")]
    ready = step(answer, "dry-to-seal")
    assert (ready.need.value, ready.need.unit) == (85.0, "%")
    assert "choose_a_sealer" in [one.code for one in ready.because]


def test_a_sealer_that_is_told_brings_its_coats_back(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    for sealer in (SealerSystem("wax"), SealerSystem(coats=3)):
        answer = timeline.project(panel(sealer=sealer), cool, poured_at + HOUR)
        keys = [one.step for one in answer.steps]
        assert "coat-1" in keys
        assert set(keys) >= HANG_ON_A_FILM
        assert "dry-to-seal" not in keys
        assert answer.coat_plan is not None


def test_it_is_dry_enough_no_sooner_than_for_any_sealer_that_lets_vapour_out(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    dry = replace(cool, air_C=cool.air_C + 12, dew_point_C=cool.dew_point_C - 2)
    ended = (Done("strip", poured_at + 40 * HOUR), Done("end-wet-cure", poured_at + 60 * HOUR))
    pour = panel(sealer=SealerSystem(), done=ended)
    ready = step(timeline.project(pour, dry, poured_at + 61 * HOUR), "dry-to-seal")
    assert ready.state == "not yet"
    assert ready.safe is not None
    assert ready.safe > poured_at + 61 * HOUR
    acrylic = panel(sealer=SealerSystem("water-based-acrylic", min_age_d=0.0), done=ended)
    coat = step(timeline.project(acrylic, dry, poured_at + 61 * HOUR), "coat-1")
    assert coat.p50 is not None
    assert ready.p50 is not None
    assert ready.p50 >= coat.p50 - HOUR
    assert CHEMISTRIES["solvent-acrylic"].dry_rh_fraction == 0.85


def test_rain_on_the_open_face_takes_dry_enough_back(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    dry = replace(cool, air_C=cool.air_C + 12, dew_point_C=cool.dew_point_C - 2)
    now = poured_at + 230 * HOUR
    rain = np.zeros(dry.hours)
    rain[72 + 225] = 3.0
    ended = (Done("strip", poured_at + 30 * HOUR), Done("end-wet-cure", poured_at + 40 * HOUR))
    pour = panel("open yard", sealer=SealerSystem(), done=ended)
    fair, wet = (
        step(timeline.project(pour, replace(dry, rain_mm=r), now), "dry-to-seal")
        for r in (np.zeros(dry.hours), rain)
    )
    assert fair.safe is not None
    assert wet.state == "not yet"
    assert wet.safe is None or wet.safe >= poured_at + (225 + 48) * HOUR
    assert wet.safe is None or wet.safe > fair.safe


def test_a_coat_that_is_marked_done_without_a_sealer_is_told_and_no_other_is_made_up(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    done = (Done("strip", poured_at + 40 * HOUR), Done("coat-1", poured_at + 200 * HOUR))
    answer = timeline.project(panel(sealer=SealerSystem(), done=done), cool, poured_at + 201 * HOUR)
    states = {one.step: one.state for one in answer.steps}
    assert states["coat-1"] == "done"
    assert "coat-2" not in states
    assert states["dry-to-seal"] == "past"
