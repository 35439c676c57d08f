"""First heating waits for the later and the drier of what is asked, by section; rain closes it."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.piece.shape import Shape
from models.planning import default_plan, timeline
from models.simulation import physics
from models.simulation.scenario import Done, Placement, Scenario
from models.steps import dry
from models.steps.opening import Span

POURED_AT = datetime(2026, 5, 4, 15, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAYS, AT_D = 88, 60


def heated(
    thickness_mm: float, rain_from_d: int | None = None, now_d: float = AT_D
) -> tuple[Span, physics.Simulation]:
    """When it may first be heated, in dry warm air; with four days of rain if told."""
    t = np.arange(72 + (DAYS + 2) * 24)
    air = 20.0 + 2.0 * np.sin(2 * np.pi * (t - 9) / 24)
    same, rain = np.ones_like(air), np.zeros_like(air)
    if rain_from_d is not None:
        rain[72 + 24 * rain_from_d : 72 + 24 * (rain_from_d + 4)] = 0.5
    sky = AirSeries(
        POURED_AT - 72 * HOUR,
        air,
        3.0 * same,
        same,
        rain,
        0.4 * same,
        np.nan * same,
        POURED_AT + 24 * now_d * HOUR,
        "a made-up record",
    )
    done = tuple(
        Done(step, POURED_AT + hour * HOUR)
        for step, hour in (("strip", 8.0), ("turn", 12.0), ("end-wet-cure", 48.0))
    )
    place = Site("covered" if rain_from_d is None else "open yard", 41.5, -74.0)
    piece = Scenario(
        "a hearth",
        place,
        Mixture("rapid-setting"),
        Shape("panel", 1100.0, 900.0, thickness_mm),
        Placement(POURED_AT, 18.0),
        done=done,
    )
    simulation = default_plan.simulated(piece, sky, POURED_AT + 24 * now_d * HOUR, DAYS * 24, 24)
    assert isinstance(simulation, physics.Simulation)
    told = timeline.planned(piece, simulation, 24 * now_d)[0]
    return next(when for one, when in told if one.step == "first-heating"), simulation


def test_a_thick_piece_waits_longer_and_is_drier_when_it_opens() -> None:
    found = {thickness: heated(thickness) for thickness in (20.0, 50.0, 85.0)}
    likely = [when.p50 for when, _ in found.values()]
    assert likely == sorted(likely)
    assert likely[1] > likely[0] + 7 * 24
    assert likely[2] > likely[1]
    for when, simulation in found.values():
        assert simulation.drying is not None
        assert when.p50 >= 28 * 24
        if np.isfinite(when.p90):
            at = simulation.trajectory.at(simulation.drying.dried.by_mass_pct, when.p90)
            assert simulation.trajectory.weight[at <= 4.05].sum() >= 0.9 - 1e-9


def test_rain_closes_it_and_it_opens_again_days_later() -> None:
    before, _ = heated(20.0, rain_from_d=66)
    assert before.p90 <= AT_D * 24
    assert before.latest == pytest.approx(66 * 24, abs=2)
    in_rain, _ = heated(20.0, rain_from_d=66, now_d=68.0)
    assert in_rain.p90 >= 70 * 24 + 3 * 24


@pytest.mark.parametrize(("section_mm", "days"), [(20.0, 3), (50.0, 7), (85.0, 21), (200.0, 28)])
def test_the_days_of_a_constant_mass_go_by_the_section(section_mm: float, days: int) -> None:
    assert dry.constant_days(section_mm) == days
