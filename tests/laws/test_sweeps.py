"""No cliff in the answers: one thing changes by small steps and no safe hour jumps.

A sample about the places where answers used to jump; `python tests/bench/sweeps.py` walks all of it
and draws it.
"""

from collections.abc import Callable
from types import ModuleType

import numpy as np
import pytest

AROUND = (
    ("air", np.arange(3.0, 7.01, 0.5)),
    ("night-low", np.arange(0.0, 2.51, 0.25)),
    ("cover-delay", np.arange(0.0, 3.01, 0.3)),
    ("thickness", np.arange(40.0, 60.1, 4.0)),
)


@pytest.mark.parametrize(("name", "values"), AROUND)
def test_no_safe_hour_jumps_by_more_than_a_seventh_of_the_age(
    loaded: Callable[[str], ModuleType], name: str, values: np.ndarray
) -> None:
    sweeps = loaded("bench/sweeps.py")
    found = sweeps.swept(sweeps.only(name, values))
    known = np.isfinite(found.safe_h).any(axis=0)
    assert known[sweeps.STEPS.index("strip")]
    assert np.nanmax(found.jumps, initial=0.0) <= sweeps.JUMP
    assert found.torn.sum() == 0
