"""A backup or a restore that is killed, or loses its power, at any of its steps."""

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from types import ModuleType

import pytest

from models.errors import InputError
from service.actions.shop import set_up_shop
from service.store import backup
from tests.support.once import EmptyShop

NOW = datetime(2026, 10, 14, 12, tzinfo=UTC)
NAME = "castclock.sqlite3"
RUN = """
import sys
from pathlib import Path
from service.store import backup
getattr(backup, sys.argv[1])(*map(Path, sys.argv[2:]))
"""


def places(folder: Path) -> list[str] | None:
    """The whole shop as it would be opened; None when there is none."""
    if not (folder / NAME).exists():
        return None
    with closing(sqlite3.connect(folder / NAME)) as shop:
        assert shop.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return [row[0] for row in shop.execute("SELECT name FROM place ORDER BY name")]


@pytest.fixture
def shop(tmp_path: Path, empty_shop: EmptyShop) -> Path:
    """A shop whose last commits a killed program left beside its file."""
    running, folder = tmp_path / "running", tmp_path / "shop"
    store = empty_shop.copied_to(f"sqlite:///{running / NAME}")
    with store.unit_of_work() as session:
        set_up_shop.open_shop(session, NOW)
        set_up_shop.save_place(session, NOW, {"name": "Carport", "kind": "covered"})
    with closing(sqlite3.connect(running / NAME)) as rows:
        rows.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    backup.backup(running / NAME, tmp_path / "monday.sqlite3")
    for name in ("Garage", "Yard"):
        with store.unit_of_work() as session:
            set_up_shop.save_place(session, NOW, {"name": name, "kind": "covered"})
    shutil.copytree(running, folder)
    store.close()
    (folder / f"{NAME}-shm").unlink()
    assert (folder / f"{NAME}-wal").stat().st_size > 0
    return folder


def _counts(name: str) -> bool:
    """What another program finds: a copy that is still being written has a name of its own."""
    return not name.endswith((".partial", ".arriving", ".keeping"))


@pytest.fixture
def steps(
    tmp_path: Path, loaded: Callable[[str], ModuleType]
) -> Callable[..., list[dict[str, bytes]]]:
    """Runs a copy of `service.store.backup` and gives what may be left at each of its steps."""
    cut_disk = loaded("faults/cut_disk.py")
    library = cut_disk.built(tmp_path)

    def left(root: Path, *arguments: str | Path) -> list[dict[str, bytes]]:
        before, dice, log = cut_disk.tree(root), Random(1), tmp_path / "log"
        environ = {"LD_PRELOAD": str(library), "CUT_ROOT": str(root), "CUT_LOG": str(log)}
        subprocess.run(
            [sys.executable, "-c", RUN, *arguments], env={**os.environ, **environ}, check=True
        )
        found: list[dict[str, bytes]] = []
        disk = cut_disk.Disk(root, before)
        for record in cut_disk.records(log.read_bytes()):
            disk.take(record)
            for one in (disk.killed(), disk.cut(dice), disk.cut(dice)):
                counting = {name: content for name, content in one.items() if _counts(name)}
                if counting not in found[-6:]:
                    found.append(counting)
        return found

    return left


def test_a_restore_broken_off_at_any_step_leaves_the_whole_old_or_the_whole_new_shop(
    shop: Path,
    tmp_path: Path,
    steps: Callable[..., list[dict[str, bytes]]],
    loaded: Callable[[str], ModuleType],
) -> None:
    lay, met = loaded("faults/cut_disk.py").lay, []
    for left in steps(shop, "restore", tmp_path / "monday.sqlite3", shop / NAME):
        lay(tmp_path / "left", left)
        met.append(places(tmp_path / "left"))
    old, new = ["Carport", "Garage", "Yard"], ["Carport"]
    assert [one for one in met if one not in (old, new)] == []
    assert met[0] == old
    assert places(shop) == new
    assert new in met
    (kept,) = shop.glob("*.replaced-1")
    shutil.copyfile(kept, tmp_path / "left" / NAME)
    assert places(tmp_path / "left") == old


def test_a_backup_broken_off_at_any_step_is_whole_or_not_there(
    shop: Path,
    tmp_path: Path,
    steps: Callable[..., list[dict[str, bytes]]],
    loaded: Callable[[str], ModuleType],
) -> None:
    lay, there = loaded("faults/cut_disk.py").lay, 0
    for left in steps(shop, "backup", shop / NAME, shop / "tonight.sqlite3"):
        lay(tmp_path / "left", left)
        assert places(tmp_path / "left") == ["Carport", "Garage", "Yard"]
        if "tonight.sqlite3" in left:
            there += 1
            backup.restore(tmp_path / "left" / "tonight.sqlite3", tmp_path / "left" / NAME)
            assert places(tmp_path / "left") == ["Carport", "Garage", "Yard"]
    assert there > 0
    with pytest.raises(InputError, match="exists already"):
        backup.backup(shop / NAME, shop / "tonight.sqlite3")
