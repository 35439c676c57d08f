"""A short sample of tests/bench/ensemble.py: few members say what many do."""

from collections.abc import Callable
from types import ModuleType

import numpy as np


def test_64_members_tell_the_chance_of_frost_of_2048(loaded: Callable[[str], ModuleType]) -> None:
    ensemble = loaded("bench/ensemble.py")
    missed = [ensemble.frost(case, 64) - p for case, p in ensemble.likely_frosts(12, 5)]
    assert np.abs(missed).max() <= 0.04
    assert (np.abs(missed) <= 0.02).sum() >= 10
