"""Under a rebuild no number and no time of any answer moves."""

from collections.abc import Callable
from types import ModuleType

import pytest

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
    got = frozen.numbers(frozen.answers(frozen.scenarios()[name]))
    assert frozen.differences(want[name], got, 1e-9) == []
