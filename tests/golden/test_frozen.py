"""Under a rebuild no number and no time of any answer moves.

Here each scenario is asked at two of its four instants, every other one of the next two days of
pouring it; `python tests/golden/frozen.py` asks all, as `tests/bench/thorough.py` does.
"""

from collections.abc import Callable
from types import ModuleType

import pytest

from tests.support.thorough import some

NAMES = [
    "desk-panel",
    "ember-base",
    "ember-surround",
    "grill-pad",
    "heron-bench",
    "kiln-step",
    "larch-table",
    "quarry-planter",
    "salt-counter",
    "shore-bench",
    "sink-top",
    "stool-tops",
    "1-long-bench",
    "2-square-top",
    "3-long-shelf",
    "4-square-slab",
    "5-long-step",
]


@pytest.mark.parametrize("name", NAMES)
def test_every_number_stands_as_it_was_frozen(
    name: str, loaded: Callable[[str], ModuleType]
) -> None:
    frozen = loaded("golden/frozen.py")
    want = frozen.frozen()
    assert set(want) == set(NAMES) == set(frozen.scenarios())
    odd = NAMES.index(name) % 2
    instants = some(frozen.LATER_H[odd::2], frozen.LATER_H)
    told = frozen.answers(frozen.scenarios()[name], instants, checked=some(not odd, True))
    asked = tuple(f"/{one}/" for one in told)
    wanted = {path: one for path, one in want[name].items() if path.startswith(asked)}
    assert len(wanted) > 100
    assert frozen.differences(wanted, frozen.numbers(told), 1e-9) == []
