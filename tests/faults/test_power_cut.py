"""The power goes, or the program is killed, while people write: what was acknowledged is there."""

from collections.abc import Callable
from pathlib import Path
from random import Random
from types import ModuleType

import pytest

from service.store import Store, engine

AS_IT_IS = engine.SYNCHRONOUS  # before the suite saves itself the waiting


def test_what_was_acknowledged_survives_power_cuts_and_kills(
    tmp_path: Path, loaded: Callable[[str], ModuleType]
) -> None:
    """A sample; `python tests/faults/power_cut.py --cuts 20 --kills 100` is the long run."""
    count = loaded("faults/power_cut.py").run(tmp_path, cuts=1, kills=0, moments=5)
    assert count.lost == []
    assert count.acknowledged >= 12
    assert (count.cuts, count.moments) == (1, 5)


def test_every_connection_waits_for_the_disk_before_it_says_that_a_commit_is_done(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    full = 2
    monkeypatch.setattr(engine, "SYNCHRONOUS", AS_IT_IS)
    with store.reading() as look, store.unit_of_work() as write:
        for session in (look, write):
            assert session.connection().exec_driver_sql("PRAGMA synchronous").scalar() == full


def test_a_rebuilt_disk_has_what_was_waited_for_and_may_lack_the_rest(
    loaded: Callable[[str], ModuleType],
) -> None:
    """Of the harness itself: it would not find what it does not take away."""
    cut_disk = loaded("faults/cut_disk.py")
    head, root = cut_disk.HEAD, "/shop"

    def record(
        op: str, file: int = 0, at: int = 0, path: str = "", second: str = "", data: bytes = b""
    ) -> bytes:
        lengths = (len(path), len(second), len(data))
        return (
            bytes(head.pack(ord(op), file, at, *lengths)) + path.encode() + second.encode() + data
        )

    log = b"".join(
        [
            record("c", 1, path="/shop/new"),
            record("w", 1, 0, data=b"a" * 1024),
            record("s", 1),
            record("w", 1, 0, data=b"b" * 1024),
            record("d", path="/shop"),
            record("r", path="/shop/new", second="/shop/old"),
            record("w", 1, 9)[:-1],
        ]
    )
    disk = cut_disk.Disk(Path(root), {"old": b"before"})
    for one in cut_disk.records(log):
        disk.take(one)
    assert disk.killed() == {"old": b"b" * 1024}
    left = [disk.cut(Random(seed)) for seed in range(60)]
    names = {tuple(sorted(one)) for one in left}
    assert names == {("new", "old"), ("old",)}
    halves = {
        one.get("new", one["old"])[:512:511] + one.get("new", one["old"])[512::511] for one in left
    }
    assert halves == {b"aaaa", b"bbaa", b"aabb", b"bbbb"}
