"""Pour checks asked on forecasts of 2013 weather, and what came of the pours they cleared.

Twelve fixed replays; the figures of hundreds are printed by tests/bench/pour_check_replays.py.
"""

from collections.abc import Callable
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from tests.replays.replayed_checks import Replay

REPLAYS = 12
SEED = 2


@pytest.fixture(scope="module")
def replayed(loaded: Callable[[str], ModuleType], record_2013: ModuleType) -> list[Replay]:
    checks = loaded("replays/replayed_checks.py")
    random = np.random.default_rng(SEED)
    found: list[Any] = []
    while len(found) < REPLAYS:
        one = checks.replay(random, record_2013, len(found))
        if one is not None:
            found.append(one)
    return found


def test_frost_was_about_in_some_and_some_were_cleared_and_some_not(replayed: list[Replay]) -> None:
    assert sum(one.cold for one in replayed) >= 3
    assert 0 < sum(bool(one.chosen) for one in replayed) < REPLAYS
    assert any(any(one.froze.values()) for one in replayed)


def test_at_most_one_in_ten_of_the_cleared_pours_froze_young(replayed: list[Replay]) -> None:
    cleared = [one for one in replayed if one.chosen]
    assert sum(one.froze[one.chosen] for one in cleared) <= 0.1 * len(cleared)


def test_most_of_the_starts_that_turned_out_safe_were_cleared(replayed: list[Replay]) -> None:
    safe = [one for one in replayed if any(one.safe.values())]
    assert sum(bool(one.chosen) for one in safe) >= 0.8 * len(safe)
