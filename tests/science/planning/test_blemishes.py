"""D14: what mars a face and weakens nothing has a word where it threatens, and none elsewhere."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.concrete.section import Covering, MouldBoard
from models.message import Message
from models.planning import pour_check, timeline
from models.simulation.scenario import Done, Placement, Scenario

HOUR = timedelta(hours=1)
Panel = Callable[..., Scenario]


def codes(messages: tuple[Message, ...]) -> set[str]:
    return {one.code for one in messages}


def weather(cool: AirSeries, warmer_K: float, under_K: float, rain_mm: float = 0.0) -> AirSeries:
    """So much warmer, the dew point so far under the air, rain each night."""
    air = cool.air_C + warmer_K
    night = np.arange(cool.hours) % 24 > 16
    return replace(
        cool,
        air_C=air,
        dew_point_C=air - under_K,
        rain_mm=np.where(night, rain_mm, 0.0),
        cloud_fraction=np.ones(cool.hours),
        rain_chance=np.where(night & (rain_mm > 0), 1.0, 0.0),
    )


@pytest.mark.parametrize(
    ("warmer_K", "rain_mm", "kind", "blooms"),
    [
        (0.0, 1.0, "open yard", True),
        (0.0, 0.0, "open yard", False),
        (14.0, 1.0, "open yard", False),
        (0.0, 1.0, "unheated room", False),
    ],
)
def test_white_bloom_is_told_of_a_bare_young_face_in_cold_wet_nights(
    panel: Panel,
    cool: AirSeries,
    poured_at: datetime,
    warmer_K: float,
    rain_mm: float,
    kind: str,
    blooms: bool,
) -> None:
    pour = panel(
        site=Site(kind, 40.0, -75.0),
        placement=Placement(poured_at, 17.0),
        done=(Done("end-wet-cure", poured_at + 48 * HOUR),),
    )
    air = weather(cool, warmer_K, 6.0, rain_mm)
    told = timeline.project(pour, air, poured_at + 50 * HOUR).warnings
    assert ("efflorescence" in codes(told)) == blooms
    for one in told:
        if one.code == "efflorescence":
            at, chance = one.values["from_at"], one.values["chance"]
            assert isinstance(at, datetime)
            assert isinstance(chance, float)
            assert poured_at + 48 * HOUR <= at <= poured_at + 122 * HOUR
            assert 0.5 <= chance <= 1.0


@pytest.mark.parametrize(("board", "sugary"), [("plywood", True), ("melamine", False)])
def test_new_plywood_is_washed_before_the_pour_and_its_face_looked_at(
    panel: Panel, cool: AirSeries, poured_at: datetime, board: str, sugary: bool
) -> None:
    pour = panel(mould=MouldBoard(board, 18.0))
    check = pour_check.check(pour, cool, poured_at, only=poured_at)
    assert ("wood_sugar" in codes(check.cautions)) == sugary
    steps = timeline.project(pour, cool, poured_at + HOUR).steps
    (strip,) = (step for step in steps if step.step == "strip")
    assert ("wood_sugar_face" in codes(strip.cautions)) == sugary


@pytest.mark.parametrize(
    ("polymer_pct", "kind", "to_h", "told"),
    [
        (5.0, "wet cover", 96.0, True),
        (5.0, "wet cover", 40.0, False),
        (5.0, "film", 96.0, False),
        (2.0, "wet cover", 96.0, False),
    ],
)
def test_a_mix_with_polymer_is_not_kept_wet_for_days(
    panel: Panel,
    cool: AirSeries,
    poured_at: datetime,
    polymer_pct: float,
    kind: str,
    to_h: float,
    told: bool,
) -> None:
    pour = panel(
        mixture=Mixture("glass-fibre", polymer_pct=polymer_pct),
        coverings=(Covering(2.0, to_h, kind),),
    )
    warned = timeline.project(pour, cool, poured_at + 10 * HOUR).warnings
    assert ("polymer_kept_wet" in codes(warned)) == told
