"""D13: what has no hour in its first month is followed on for a year, and the seam is not felt."""

from collections.abc import Callable
from dataclasses import fields, replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.piece.shape import Shape
from models.planning import default_plan, timeline
from models.results import StepWindow
from models.simulation import beyond, cases, drying, physics
from models.simulation.physics import Simulation
from models.simulation.scenario import Done, Scenario
from models.steps import dry, use
from models.steps.case import Film
from models.steps.opening import Trajectory
from models.units import Array

Panel = Callable[..., Scenario]
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
SEAM_D = physics.HORIZON_H / 24
NEW_YORK = (41.5, -74.0)
FELT_RH = 0.0025  # no date is told apart by less: where it dries slowly that is weeks


@pytest.fixture(scope="module")
def made(panel: Panel, cool: AirSeries, poured_at: datetime) -> tuple[Scenario, Simulation]:
    """A thick panel in an unheated room, as it stands an hour after it was poured."""
    pour = panel(
        site=Site("unheated room", *NEW_YORK),
        shape=Shape("panel", 1200.0, 600.0, 75.0),
        sealer=SealerSystem(),
    )
    now = poured_at + HOUR
    simulation = default_plan.simulated(pour, cool, now, physics.HORIZON_H)
    assert isinstance(simulation, Simulation)
    return pour, simulation


def followed(pour: Scenario, simulation: Simulation, steps_h: tuple[int, int]) -> Simulation:
    assert simulation.drying is not None
    longer = beyond.longer(pour, simulation, steps_h)
    return drying.dried_on(pour, longer, simulation.drying)


def opens(pour: Scenario, simulation: Simulation, off: float = 0.0) -> dict[str, Array]:
    """When each member is dry at two humidities (with `off` added), strong, 42 d over 4 degC, and
    its film through."""
    case, trajectory = cases.case_of(pour, simulation, 1.0), simulation.trajectory
    strong = 0.97 * trajectory.quantile(trajectory.strength_mean_MPa[-1], 0.1)
    film = use.hardened_h(trajectory)
    return {
        "dry at 85 %": dry.ready_at(case.drying, 0.85 + off, 1.0),
        "dry at 80 %": dry.ready_at(case.drying, 0.80 + off, 1.0),
        "strong": trajectory.first(trajectory.strength_mean_MPa, strong),
        "salt": use.de_icing(replace(case, coated=Film(24.0, film))).opens_h,
        "film": trajectory.first(film, 1000.0),
    }


def test_the_first_month_stays_as_it_was_to_the_digit(made: tuple[Scenario, Simulation]) -> None:
    pour, simulation = made
    longer = followed(pour, simulation, beyond.STEPS_H)
    rows = len(simulation.trajectory.hour)
    assert longer.trajectory.hour[-1] >= 365 * 24
    for one in fields(Trajectory):
        before, after = (getattr(s.trajectory, one.name) for s in (simulation, longer))
        if isinstance(before, np.ndarray) and len(before) == rows:
            assert np.array_equal(before, after[:rows]), one.name
    assert simulation.drying is not None
    assert longer.drying is not None
    for name in ("hour", "probe_rh", "by_mass_pct", "lost_kg_m2", "mean_rh"):
        before, after = (getattr(d.dried, name) for d in (simulation.drying, longer.drying))
        assert np.array_equal(before, after[:rows]), name


def test_the_seam_is_not_felt(made: tuple[Scenario, Simulation]) -> None:
    pour, simulation = made
    longer = followed(pour, simulation, beyond.STEPS_H)
    rows, trajectory = len(simulation.trajectory.hour), longer.trajectory
    assert longer.drying is not None
    for values, most in (
        (trajectory.te_mean_h, 0.3),
        (trajectory.strength_mean_MPa, 0.3),
        (100 * longer.drying.dried.probe_rh, 0.3),
        (longer.drying.dried.lost_kg_m2, 0.3),
    ):
        before = (values[rows - 1] - values[rows - 25]) / 24  # an hour's change in the last day
        after = (values[rows + 3] - values[rows - 1]) / 24  # and in the first one behind it
        scale = np.abs(before).max()
        assert abs(np.median(after) - np.median(before)) < most * scale


def test_steps_of_half_the_length_move_no_date_by_three_per_cent(
    made: tuple[Scenario, Simulation],
) -> None:
    pour, simulation = made
    coarse, fine = (followed(pour, simulation, steps_h) for steps_h in (beyond.STEPS_H, (1, 12)))
    halved = opens(pour, fine)
    damper, drier = (opens(pour, coarse, off) for off in (FELT_RH, -FELT_RH))
    seen = 0
    for name, hours in opens(pour, coarse).items():
        for level in (0.1, 0.5, 0.9):
            here, there = (coarse.trajectory.hour_by(one, level) for one in (hours, halved[name]))
            nears_its_end = (name, level) == ("dry at 80 %", 0.9)  # once a year, or not at all
            if np.isfinite(here) and here > physics.HORIZON_H and not nears_its_end:
                seen += 1
                ends = (coarse.trajectory.hour_by(d[name], level) for d in (damper, drier))
                low, high = min(next(ends), 0.97 * here), max(next(ends), 1.03 * here)
                assert low <= there <= high, (name, level)
    assert seen >= 9


def told(pour: Scenario, air: AirSeries, now: datetime, step: str) -> StepWindow:
    return next(one for one in timeline.project(pour, air, now).steps if one.step == step)


def test_a_thicker_piece_crosses_the_end_of_the_first_month_without_a_jump(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """What dries through a section takes about the square of its thickness, before and after."""
    thick_mm = np.geomspace(55.0, 95.0, 11)
    air = replace(cool, dew_point_C=cool.dew_point_C - 3)
    days = []
    for mm in thick_mm:
        pour = panel(
            site=Site("heated room", *NEW_YORK, setpoint_C=18.0),
            shape=Shape("panel", 1200.0, 600.0, float(mm)),
            sealer=SealerSystem(),
        )
        one = told(pour, air, poured_at + HOUR, "dry-to-seal")
        assert one.p50 is not None
        assert one.safe is not None
        days.append([(at - poured_at) / DAY for at in (one.p50, one.safe)])
    at = np.array(days)
    for column in at.T:
        assert column.min() < SEAM_D < column.max()
        assert (np.diff(column) > 0).all()
        assert np.abs(np.diff(np.log(column), 2)).max() < 0.08


def test_salt_waits_forty_two_days_and_has_its_date(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """ACI 201: six weeks over 4 degC, that is in Miami six weeks from the pour."""
    done = tuple(
        Done(step, poured_at + hour * HOUR)
        for step, hour in (("strip", 48.0), ("end-wet-cure", 120.0), ("coat-1", 216.0))
    )
    pour = panel(
        site=Site("open yard", 25.8, -80.3),
        sealer=SealerSystem("wax", coats=1),
        done=done,
    )
    warm = replace(cool, air_C=cool.air_C + 12, dew_point_C=cool.dew_point_C + 8)
    salt = told(pour, warm, poured_at + 230 * HOUR, "de-icing")
    assert salt.p50 is not None
    assert salt.safe is not None
    assert 41.9 <= (salt.p50 - poured_at) / DAY <= 42.1
    assert 41.9 <= (salt.safe - poured_at) / DAY <= 43.0


def test_a_piece_poured_into_frost_has_its_date_in_spring_and_a_colder_one_none_earlier(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    dates = []
    for colder_K in (12.0, 14.0):  # at 15 K its corner freezes within the hour
        air = replace(cool, air_C=cool.air_C - colder_K, dew_point_C=cool.dew_point_C - colder_K)
        pour = panel(site=Site("covered", 61.2, -150.0), sealer=SealerSystem())
        one = told(pour, air, poured_at + HOUR, "end-wet-cure")
        assert one.safe is not None
        dates.append(one.safe)
    assert poured_at + SEAM_D * DAY < dates[0] <= dates[1]
    assert dates[1] < datetime(2026, 7, 15, tzinfo=poured_at.tzinfo)


def test_what_no_air_of_the_year_dries_says_so_of_the_year(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    pour = panel(site=Site("open yard", *NEW_YORK), shape=Shape("panel", 1200.0, 600.0, 200.0))
    fire = told(pour, cool, poured_at + HOUR, "first-heating")
    assert fire.safe is None
    never = next(one for one in fire.because if one.code == "air_does_not_dry")
    assert never.values["within_d"] == pytest.approx(365.0)


def test_it_is_followed_on_once_for_all_that_is_told(
    panel: Panel, cool: AirSeries, poured_at: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[float] = []
    longer = beyond.longer

    def counting(scenario: Scenario, simulation: Simulation) -> Simulation:
        calls.append(simulation.trajectory.hour[-1])
        return longer(scenario, simulation)

    monkeypatch.setattr(beyond, "longer", counting)
    cold = replace(cool, air_C=cool.air_C - 7, dew_point_C=cool.dew_point_C - 7)
    timeline.project(panel(), cold, poured_at + HOUR)
    assert len(calls) == 1
