"""Pour checks asked on forecasts of 2013 weather, and what came of the pours they cleared.

Twelve fixed replays; the figures of hundreds are printed by tests/bench/pour_check_replays.py.
One test, since each process of the suite would replay for itself.
"""

from collections.abc import Callable
from types import ModuleType
from typing import Any

import numpy as np

REPLAYS = 12
SEED = 2


def test_most_safe_starts_are_cleared_and_few_of_the_cleared_freeze(
    loaded: Callable[[str], ModuleType], record_2013: ModuleType
) -> None:
    checks = loaded("replays/replayed_checks.py")
    random = np.random.default_rng(SEED)
    replayed: list[Any] = []
    while len(replayed) < REPLAYS:
        one = checks.replay(random, record_2013, len(replayed))
        if one is not None:
            replayed.append(one)
    assert sum(one.cold for one in replayed) >= 3, "frost was about"
    assert any(any(one.froze.values()) for one in replayed)
    cleared = [one for one in replayed if one.chosen]
    assert 0 < len(cleared) < REPLAYS
    assert sum(one.froze[one.chosen] for one in cleared) <= 0.1 * len(cleared)
    safe = [one for one in replayed if any(one.safe.values())]
    assert sum(bool(one.chosen) for one in safe) >= 0.8 * len(safe)
