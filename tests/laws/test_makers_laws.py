"""A maker who does each step at its planned hour can do every step: none is past, blocked or never.

A sample up to sanding; `python tests/bench/makers.py` walks whole stories and prints the hours.
"""

from collections.abc import Callable
from types import ModuleType

import pytest

SAMPLE = (
    ("general-purpose", "panel", 20.0, "usual film"),
    ("general-purpose", "slab", 15.0, "wet cover"),
    ("general-purpose", "box", 20.0, "blanket"),
    ("blended", "panel", 10.0, "usual film"),
    ("blended", "box", 20.0, "usual film"),
    ("rapid-setting", "thin", 30.0, "usual film"),
    ("high-early", "box", 5.0, "wet cover"),
    ("glass-fibre", "panel", 20.0, "blanket"),
    ("flowing", "block", 10.0, "usual film"),
)


@pytest.mark.parametrize(("mix", "shape", "air_C", "cover"), SAMPLE)
def test_who_does_everything_at_its_planned_hour_is_never_stuck(
    loaded: Callable[[str], ModuleType], mix: str, shape: str, air_C: float, cover: str
) -> None:
    makers = loaded("bench/makers.py")
    maker = makers.at_each_planned_hour(makers.Maker(mix, shape, air_C, cover), until="sand")
    assert maker.troubles == []
    assert {"strip", "turn", "end-wet-cure", "sand"} <= set(maker.done_h)
    assert list(maker.done_h.values()) == sorted(maker.done_h.values())
    assert maker.done_h["sand"] >= maker.done_h["end-wet-cure"]
