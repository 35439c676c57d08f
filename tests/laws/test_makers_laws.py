"""A maker who does each step at its safe hour can do every step: none is past, blocked or never.

A sample; `python tests/bench/makers.py` walks all of them and prints the hours.
"""

from collections.abc import Callable
from types import ModuleType

import pytest

SAMPLE = (
    ("general-purpose", "panel", 20.0, "usual film"),
    ("general-purpose", "panel", 12.0, "wet cover"),
    ("general-purpose", "box", 20.0, "blanket"),
    ("blended", "panel", 12.0, "usual film"),
    ("blended", "box", 20.0, "usual film"),
    ("rapid-setting", "panel", 30.0, "usual film"),
    ("high-early", "box", 5.0, "wet cover"),
    ("glass-fibre", "panel", 20.0, "blanket"),
    ("flowing", "block", 12.0, "usual film"),
)


@pytest.mark.parametrize(("mix", "shape", "air_C", "cover"), SAMPLE)
def test_who_does_everything_at_its_safe_hour_is_never_stuck(
    loaded: Callable[[str], ModuleType], mix: str, shape: str, air_C: float, cover: str
) -> None:
    makers = loaded("bench/makers.py")
    maker = makers.at_each_safe_hour(makers.Maker(mix, shape, air_C, cover))
    assert maker.troubles == []
    order = [maker.done_h[step] for step in makers.MOULD_STEPS if step in maker.done_h]
    assert order == sorted(order)
    assert {"strip", "turn"} <= set(maker.done_h)
