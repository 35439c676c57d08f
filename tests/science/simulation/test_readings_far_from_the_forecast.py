"""Readings far from what was foreseen: cold ones count, warm ones need a second, none is lost."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.air.series import AirSeries
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.section import Covering
from models.planning.timeline import project
from models.quantile import quantile
from models.results import StepWindow
from models.simulation import physics
from models.simulation.scenario import Observation, Scenario
from models.steps import strip
from tests.support.words import codes

Panel = Callable[..., Scenario]
H = timedelta(hours=1)


@pytest.fixture(scope="module")
def mild(cool: AirSeries) -> AirSeries:
    """A week at 15 C: strip opens on the second day."""
    same = np.full_like(cool.air_C, 15.0)
    return replace(cool, air_C=same, dew_point_C=same - 5)


def strip_of(pour: Scenario, air: AirSeries, now: datetime) -> StepWindow:
    return next(one for one in project(pour, air, now).steps if one.step == "strip")


def hours(pour: Scenario, air: AirSeries, now: datetime) -> tuple[float, float]:
    simulation = physics.simulate(pour, air, now, 400)
    assert isinstance(simulation, physics.Simulation)
    opens = strip.strip(simulation.trajectory, {}).opens_h
    p50, p90 = (quantile(opens, simulation.trajectory.weight, share) for share in (0.5, 0.9))
    return p50, p90


COLD: dict[str, list[tuple[str, float, float | None]]] = {
    "eight probes of -5 C": [("concrete", -5.0, None)] * 8,
    "eight probes of 2 C": [("concrete", 2.0, None)] * 8,
    "eight looks at the face, 1 C": [("surface", 1.0, None)] * 8,
    "four max-min pairs of frost": [("air-min-max", -6.0, -2.0)] * 4,
}


@pytest.mark.parametrize("name", COLD)
def test_cold_readings_that_agree_close_a_step_that_the_forecast_opened(
    panel: Panel, mild: AirSeries, poured_at: datetime, name: str
) -> None:
    now = poured_at + 96 * H
    assert strip_of(panel(), mild, now).state == "open"
    seen = tuple(
        Observation(poured_at + (6 + k * 64 / len(COLD[name])) * H, kind, low, high)
        for k, (kind, low, high) in enumerate(COLD[name])
    )
    told = strip_of(panel(observations=seen), mild, now)
    assert told.state in ("not yet", "frozen")
    blind, cold = hours(panel(), mild, now), hours(panel(observations=seen), mild, now)
    assert cold[0] > blind[0] + 6
    assert cold[1] > blind[1] + 6


def test_one_warm_reading_alone_moves_nothing_and_is_told(
    panel: Panel, mild: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + 30 * H
    odd = panel(observations=(Observation(poured_at + 20 * H, "concrete", 55.0),))
    assert hours(odd, mild, now) == hours(panel(), mild, now)
    warned = project(odd, mild, now).warnings
    assert [one.values["read_C"] for one in warned if one.code == "reading_warmer"] == [55.0]


def test_a_second_warm_reading_makes_both_count(
    panel: Panel, mild: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + 30 * H
    one = Observation(poured_at + 10 * H, "air", 26.0)
    both = (one, Observation(poured_at + 14 * H, "air", 26.5))
    alone, agreed = (hours(panel(observations=seen), mild, now) for seen in ((one,), both))
    assert alone == hours(panel(), mild, now)
    assert agreed[0] < alone[0] - 0.5
    assert agreed[1] < alone[1] - 0.5


def test_while_a_reading_disagrees_the_step_waits_says_so_and_opens_when_the_colder_is_safe(
    panel: Panel, mild: AirSeries, poured_at: datetime
) -> None:
    bag = Mixture("general-purpose", (LabelStrength(672.0, 28.0),))  # so that 90 % is safe
    seen = panel(mixture=bag, observations=(Observation(poured_at + 10 * H, "concrete", 4.0),))
    _, colder_h = hours(seen, mild, poured_at + 30 * H)
    _, blind_h = hours(panel(mixture=bag), mild, poured_at + 30 * H)
    assert colder_h > blind_h + 1
    before = strip_of(seen, mild, poured_at + (blind_h + 0.5) * H)
    assert before.state == "not yet"
    assert before.reason is not None
    assert before.reason.code == "readings_disagree"
    readings = before.reason.values["readings"]
    assert isinstance(readings, tuple)
    assert isinstance(readings[0], Mapping)
    assert readings[0]["value_C"] == 4.0
    assert before.reason in before.because
    assert strip_of(seen, mild, poured_at + (colder_h + 1) * H).state == "open"


@pytest.mark.parametrize(
    ("value", "counts"), [(4.5, "the reading"), (21.0, "the forecast")], ids=str
)
def test_a_second_reading_that_takes_a_side_ends_the_disagreement(
    panel: Panel, mild: AirSeries, poured_at: datetime, value: float, counts: str
) -> None:
    first = Observation(poured_at + 10 * H, "concrete", 4.0)
    foreseen = physics.simulate(panel(), mild, poured_at, 48)
    assert isinstance(foreseen, physics.Simulation)
    middle = float(foreseen.trajectory.mean_C[13].mean())
    second = Observation(
        poured_at + 13 * H, "concrete", value if counts == "the reading" else middle
    )
    now = poured_at + 16 * H
    assert strip_of(panel(observations=(first,)), mild, now).reason is not None
    assert strip_of(panel(observations=(first, second)), mild, now).reason is None


def test_a_reading_marked_as_wrong_is_as_none(
    panel: Panel, mild: AirSeries, poured_at: datetime
) -> None:
    odd = Observation(poured_at + 10 * H, "concrete", -12.0)
    now = poured_at + 84 * H
    assert strip_of(panel(observations=(odd,)), mild, now).state == "not yet"
    marked = strip_of(panel(observations=(replace(odd, wrong=True),)), mild, now)
    blind = strip_of(panel(), mild, now)
    assert (marked.state, marked.p90) == (blind.state, blind.p90) == ("open", blind.p90)


def test_one_reading_stored_ten_times_is_one_reading(
    panel: Panel, mild: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + 30 * H
    seen = (
        Observation(poured_at + 8 * H, "concrete", 19.0),
        Observation(poured_at + 14 * H, "concrete", 18.0),
    )
    once, often = (hours(panel(observations=seen * n), mild, now) for n in (1, 10))
    assert often == once


def test_a_sensor_that_pushes_every_minute_knows_no_more_than_one_read_every_hour(
    panel: Panel, mild: AirSeries, poured_at: datetime
) -> None:
    now = poured_at + 30 * H

    def spread_K(every_min: int) -> float:
        seen = tuple(
            Observation(poured_at + timedelta(minutes=k), "air", 15.5)
            for k in range(0, 24 * 60, every_min)
        )
        simulation = physics.simulate(panel(observations=seen), mild, now, 48)
        assert isinstance(simulation, physics.Simulation)
        return float(simulation.trajectory.air_C[6:20].std(axis=1).mean())

    assert spread_K(1) > 0.9 * spread_K(60)
    assert spread_K(1) > 0.3  # what a thermometer itself may be off by stays


def test_a_heater_that_failed_is_told_by_a_logger_and_by_the_lowest_temperature_alone(
    loaded: Callable[[str], ModuleType],
) -> None:
    """Truth: solve_ivp of the room; by hand over more nights: tests/bench/heater_off.py."""
    bench = loaded("bench/heater_off.py")
    night = {one.way: one for one in bench.nights((9.0,))}
    logger, lowest = night["logger"], night["max-min"]
    assert logger.ratio("p50") == pytest.approx(1.0, abs=0.25)
    assert logger.ratio("p90") == pytest.approx(1.0, abs=0.25)
    assert lowest.told.p10 < lowest.true.p50 < lowest.told.p90
    for one in night.values():
        assert one.told.p50 >= one.blind.p50 or one.way == "logger"
    assert lowest.told.p90 >= lowest.blind.p90
    found = night["two: at the end, an hour on"]
    assert found.ratio("p50") == pytest.approx(1.0, abs=0.25)


@pytest.mark.parametrize(
    "law",
    [
        "the colder is never earlier",
        "twice is once, not used is not there",
        "under the low member is never earlier",
    ],
)
def test_laws_of_readings_hold_over_random_pours(
    loaded: Callable[[str], ModuleType], law: str
) -> None:
    """A short sample; two thousand of each: tests/bench/reading_laws.py."""
    bench = loaded("bench/reading_laws.py")
    assert list(bench.breaches(law, range(8), alone=True)) == []


def test_a_thermometer_in_a_heated_tent_tells_of_the_tent(
    panel: Panel, cool: AirSeries, poured_at: datetime
) -> None:
    """Warm, it says nothing of the yard around it; cold, it says that the heat was off."""
    now = poured_at + 30 * H
    tent = panel(
        coverings=(Covering(0.0, 14.0, "heated enclosure", setpoint_C=20.0, heater="electric"),)
    )

    def read(*values: float) -> Scenario:
        seen = (Observation(poured_at + (k + 1) * H, "air", v) for k, v in enumerate(values))
        return replace(tent, observations=tuple(seen))

    warm = hours(read(*[20.0] * 12), cool, now)
    assert warm == hours(tent, cool, now)
    off = hours(read(*[20.0] * 4, *[6.0] * 4, *[20.0] * 4), cool, now)
    known = replace(
        tent,
        coverings=(
            Covering(0.0, 4.5, "heated enclosure", setpoint_C=20.0),
            Covering(4.5, 8.5, "heated enclosure", setpoint_C=6.0),
            Covering(8.5, 14.0, "heated enclosure", setpoint_C=20.0),
        ),
    )
    assert off == pytest.approx(hours(known, cool, now), abs=0.1)
    assert off[1] > warm[1] + 1
    assert "heat_was_off" in codes(*project(read(6.0, 5.0), cool, now).warnings)
    frost = hours(read(*[20.0] * 4, *[-4.0] * 4, *[20.0] * 4), cool, now)
    assert frost[1] >= off[1]
