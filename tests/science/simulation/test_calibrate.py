"""A reading changes the answer: it narrows the window, moves the night, or is flagged."""

from collections.abc import Callable
from datetime import datetime, timedelta

import numpy as np
import pytest

from models import rng
from models.air.series import AirSeries
from models.concrete import strength
from models.planning import reasons
from models.planning.timeline import project
from models.quantile import quantile
from models.simulation import physics
from models.simulation.scenario import Observation, Scenario, StrengthTest
from models.steps import strip

Panel = Callable[..., Scenario]


def simulation(
    pour: Scenario, air: AirSeries, now: datetime, count: int | None = None
) -> physics.Simulation:
    through = physics.simulate(pour, air, now, 336, count)
    assert isinstance(through, physics.Simulation)
    return through


def strip_width_h(through: physics.Simulation) -> float:
    opens = strip.strip(through.trajectory, {}).opens_h
    low, high = (quantile(opens, through.trajectory.weight, q) for q in (0.1, 0.9))
    return high - low


def spread_C(through: physics.Simulation, hour: int) -> float:
    trajectory = through.trajectory
    mean = float(trajectory.weight @ trajectory.mean_C[hour])
    return float(np.sqrt(trajectory.weight @ (trajectory.mean_C[hour] - mean) ** 2))


def concrete_readings(
    through: physics.Simulation, at: datetime, hours: list[int], off_K: float = 0.0
) -> tuple[Observation, ...]:
    middle = np.median(through.trajectory.mean_C, axis=1)
    return tuple(
        Observation(at + timedelta(hours=h), "concrete", float(middle[h] + off_K)) for h in hours
    )


@pytest.mark.parametrize("every_h", [12, 6, 2])
def test_a_probe_in_the_concrete_narrows_the_temperature_and_its_part_of_the_window(
    panel: Panel, cool: AirSeries, poured_at: datetime, every_h: int
) -> None:
    now = poured_at + timedelta(hours=30)
    blind = simulation(panel(), cool, now)
    probe = concrete_readings(blind, poured_at, list(range(6, 31, every_h)))
    seeing = simulation(panel(observations=probe), cool, now)
    assert seeing.notes == blind.notes
    assert spread_C(seeing, 24) < 0.8 * spread_C(blind, 24)
    parts = [reasons.split_width(through, 5.0)["temperature"] for through in (blind, seeing)]
    assert parts[1] < 0.9 * parts[0]


@pytest.mark.parametrize("every_h", [12, 6, 2])
def test_a_probe_that_reads_what_was_expected_never_widens_the_strip_window(
    panel: Panel, cool: AirSeries, poured_at: datetime, every_h: int
) -> None:
    """What was believed is confirmed: the window may stay, it must not grow by a tenth."""
    now = poured_at + timedelta(hours=30)
    blind = simulation(panel(), cool, now)
    probe = concrete_readings(blind, poured_at, list(range(6, 31, every_h)))
    seeing = simulation(panel(observations=probe), cool, now)
    assert strip_width_h(seeing) <= 1.1 * strip_width_h(blind)


def test_a_colder_probe_makes_strip_later_and_a_warmer_one_earlier(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + timedelta(hours=30)
    blind = simulation(panel(), cool, now)

    def likely(off_K: float) -> float:
        probe = concrete_readings(blind, poured_at, list(range(6, 31, 4)), off_K)
        through = simulation(panel(observations=probe), cool, now)
        return quantile(strip.strip(through.trajectory, {}).opens_h, through.trajectory.weight, 0.5)

    assert likely(-1.5) > likely(0.0) > likely(1.5)


def test_a_reading_that_contradicts_is_flagged_and_not_used(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + timedelta(hours=30)
    at = poured_at + timedelta(hours=20)
    absurd = simulation(panel(observations=(Observation(at, "concrete", 55.0),)), cool, now)
    assert "reading_warmer" in {note.code for note in absurd.notes}  # kept, not used
    assert np.ptp(absurd.trajectory.weight) == pytest.approx(0.0, abs=1e-12)
    told = project(panel(observations=(Observation(at, "concrete", 55.0),)), cool, now)
    assert [one.values["read_C"] for one in told.warnings if one.code == "reading_warmer"] == [55.0]


def test_an_air_reading_that_contradicts_is_flagged_and_not_used(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + timedelta(hours=30)
    at = poured_at + timedelta(hours=20)
    blind = simulation(panel(), cool, now)
    absurd = simulation(panel(observations=(Observation(at, "air", 40.0),)), cool, now)
    assert "reading_warmer" in {note.code for note in absurd.notes}
    np.testing.assert_allclose(absurd.trajectory.air_C, blind.trajectory.air_C)


def test_a_max_min_of_the_night_moves_the_night(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    morning = poured_at + timedelta(hours=16)
    blind = simulation(panel(), cool, morning)
    night = slice(2, 16)
    low = float(np.median(blind.trajectory.air_C[night], axis=1).min())
    high = float(np.median(blind.trajectory.air_C[night], axis=1).max())
    seen = Observation(morning, "air-min-max", low - 3.0, high - 3.0, 14.0)
    told = simulation(panel(observations=(seen,)), cool, morning)
    moved = np.median(told.trajectory.air_C[night], axis=1) - np.median(
        blind.trajectory.air_C[night], axis=1
    )
    assert moved.min() < -2.0
    assert moved.max() < 0.0
    sure_blind, sure_told = (
        quantile(strip.strip(t.trajectory, {}).opens_h, t.trajectory.weight, 0.9)
        for t in (blind, told)
    )
    assert sure_told > sure_blind + 1


@pytest.mark.parametrize("root", [1, 2, 3])
def test_a_max_min_leaves_the_night_less_doubtful(
    panel: Panel, cool: AirSeries, poured_at: datetime, monkeypatch: pytest.MonkeyPatch, root: int
) -> None:
    monkeypatch.setattr(rng, "ROOT", root)
    morning = poured_at + timedelta(hours=16)
    blind = simulation(panel(), cool, morning)
    middle = np.median(blind.trajectory.air_C[:17], axis=1)
    seen = Observation(morning, "air-min-max", float(middle.min()), float(middle.max()), 16.0)
    told = simulation(panel(observations=(seen,)), cool, morning)
    coldest = int(np.argmin(middle))
    assert told.trajectory.air_C[coldest].std() < 0.7 * blind.trajectory.air_C[coldest].std()


@pytest.mark.parametrize("kind", ["cube", "cylinder"])
def test_a_strong_cube_brings_the_later_steps_nearer(
    panel: Panel, cool: AirSeries, poured_at: datetime, kind: str
) -> None:
    now = poured_at + timedelta(hours=72)
    blind = simulation(panel(), cool, now)
    middle = float(np.median(blind.trajectory.strength_mean_MPa[72]))

    def width(factor: float) -> tuple[float, float]:
        test = StrengthTest(now, kind, factor * middle)
        through = simulation(panel(tests=(test,)), cool, now)
        opens = through.trajectory.first(through.trajectory.strength_MPa, 15.0)
        return (
            quantile(opens, through.trajectory.weight, 0.5),
            quantile(opens, through.trajectory.weight, 0.9),
        )

    assert width(1.25)[0] < width(1.0)[0] < width(0.8)[0]
    assert width(1.25)[1] < width(0.8)[1]


def test_a_bar_counts_by_its_bending_strength(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + timedelta(hours=72)
    blind = simulation(panel(), cool, now)
    middle = float(np.median(blind.trajectory.strength_mean_MPa[72]))
    bending = float(strength.flexural(middle))
    told = simulation(panel(tests=(StrengthTest(now, "bar", bending),)), cool, now)
    assert told.notes == blind.notes
    weighted = quantile(told.trajectory.strength_mean_MPa[72], told.trajectory.weight, 0.5)
    assert weighted == pytest.approx(middle, rel=0.12)


def test_an_impossible_cube_is_flagged_and_not_used(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + timedelta(hours=40)
    odd = simulation(panel(tests=(StrengthTest(now, "cube", 150.0),)), cool, now)
    (note,) = [note for note in odd.notes if note.code == "test_contradicts"]
    assert note.values["result_MPa"] == 150.0
    assert np.ptp(odd.trajectory.weight) == pytest.approx(0.0, abs=1e-12)


def test_many_readings_leave_enough_members_to_speak_of_a_tail(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """Weights on one or two members would call a guess certain."""
    now = poured_at + timedelta(hours=72)
    blind = simulation(panel(), cool, now)
    probe = concrete_readings(blind, poured_at, list(range(1, 73)), 1.0)
    told = simulation(panel(observations=probe), cool, now)
    assert told.trajectory.weight.sum() == pytest.approx(1.0)
    assert 1 / (told.trajectory.weight**2).sum() >= 16
