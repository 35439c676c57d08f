"""64 members, and 256 of which these are the first wherever what was seen weighs any of them."""

from collections.abc import Callable
from datetime import datetime

import numpy as np
import pytest

from models.air.place import Heated
from models.air.series import HOUR, AirSeries
from models.planning import default_plan
from models.rng import stream
from models.simulation import conditioning, looks, outage, physics
from models.simulation.scenario import Observation, Scenario, StrengthTest


@pytest.mark.parametrize(
    ("seen", "members"),
    [
        ({}, [64]),
        ({"observations": [("corner-sound", 30)]}, [64]),  # no frost was foretold
        ({"observations": [("film-dry", 40)]}, [64]),  # proves nothing
        ({"observations": [("concrete", 30)]}, [64]),  # moves members, weighs none
        ({"observations": [("final-set", 8)]}, [64, 256]),
        ({"observations": [("film-wet", 40)]}, [64, 256]),
        ({"tests": [(40, 9.0)]}, [64, 256]),
    ],
)
def test_more_members_are_drawn_once_and_only_where_a_reading_weighs_them(
    seen: dict[str, list[tuple[str, int]]],
    members: list[int],
    panel: Callable[..., Scenario],
    poured_at: datetime,
    cool: AirSeries,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    drawn: list[int] = []
    draw = physics.drawn

    def counted(scenario: Scenario, air: AirSeries, now: datetime, hours: int, many: int) -> object:
        drawn.append(many)
        return draw(scenario, air, now, hours, many)

    monkeypatch.setattr(physics, "drawn", counted)
    read = tuple(
        Observation(poured_at + h * HOUR, k, 13.0) for k, h in seen.get("observations", [])
    )
    broken = tuple(
        StrengthTest(poured_at + int(h) * HOUR, "cube", mpa) for h, mpa in seen.get("tests", [])
    )
    scenario = panel(observations=read, tests=broken)
    got = default_plan.simulated(scenario, cool, poured_at + 60 * HOUR, 300)
    assert isinstance(got, physics.Simulation)
    assert drawn == members
    assert got.trajectory.members == members[-1]


def test_what_frost_leaves_and_a_failed_heater_are_the_same_in_the_first_64() -> None:
    few, many = (looks.strength_left(np.full(n, 0.3))[0] for n in (64, 256))
    np.testing.assert_array_equal(few, many[:64])
    assert np.sort(few)[[0, -1]] == pytest.approx([0.5, 0.9], abs=0.01)
    read = conditioning.series([(20.0, 9.0), (30.0, 12.0)], [(40.0, 6.0, 8.0, 44.0)])

    def failed(members: int) -> np.ndarray:
        warm = np.full((60, members), 18.0)
        heated = Heated(warm - 14.0, np.full(members, 6.0))
        left = np.full((len(read), members), -6.0)
        return outage.lower(warm, read, left, heated, stream("outage"))

    np.testing.assert_array_equal(failed(64), failed(256)[:, :64])
