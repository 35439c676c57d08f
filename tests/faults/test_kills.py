"""Kill -9 at random moments: nothing is lost, and nobody is told twice without one."""

import os
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from tests.conftest import IN_CI, POSTGRES


@pytest.fixture(scope="module")
def nursery(loaded: Callable[[str], ModuleType]) -> Iterator[Any]:
    """Of both shops: to load everything is most of what a sample takes."""
    with closing(loaded("faults/yard.py").Nursery()) as made:
        yield made


@pytest.mark.parametrize(
    ("database", "workers"),
    [
        pytest.param("sqlite", 0, id="sqlite"),
        pytest.param("", 2, id="postgresql and two workers", marks=pytest.mark.postgres),
    ],
)
def test_nothing_is_lost_and_nobody_is_told_twice_without_a_kill(
    database: str, workers: int, tmp_path: Path, loaded: Callable[[str], ModuleType], nursery: Any
) -> None:
    """A sample; `python tests/faults/kills.py --kills 500` is the long run."""
    kills = loaded("faults/kills.py")
    server = database or os.environ.get(POSTGRES, "")
    if not server and not IN_CI:
        pytest.skip(f"{POSTGRES} is not set")
    with kills.database(server, tmp_path) as url:
        count = kills.run(tmp_path, url, kills=6, workers=workers, nursery=nursery)
    assert count.holds, count
    assert count.kills.total() >= 6
    assert count.acknowledged >= 15
    assert count.alarms >= 1
    assert "Traceback" not in (tmp_path / "out").read_text(encoding="utf-8")
