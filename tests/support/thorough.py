"""How much of the same is tried: a sample in the suite, thousands by `tests/bench/thorough.py`."""

import os
from typing import TypeVar

T = TypeVar("T")
ASKED = "CASTCLOCK_THOROUGH"


def some(few: T, many: T) -> T:
    """`few` in the suite, `many` where thoroughness was asked for."""
    return many if os.environ.get(ASKED) else few
