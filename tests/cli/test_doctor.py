"""`castclock doctor` names each fault that is planted, and nothing else; a sound shop is well."""

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

import pytest
from sqlalchemy import text

from models import seal
from models.records import MouldFault
from scheduler.jobs import Rounds
from service.actions.notices.channels import keep_test, listeners
from service.actions.shop import jobs
from service.actions.shop.examine import Finding, examined
from service.actions.shop.set_up_shop import open_shop
from service.cli import doctor
from service.notify import push
from service.queries.jobs import job_of
from service.settings import Settings
from service.store import Store
from tests.support.command import castclock
from tests.support.shop import Bench, Windows

HOUR = timedelta(hours=1)


class Disk(NamedTuple):
    total: int
    used: int
    free: int


FULL = Disk(10**9, 9 * 10**8, 10**8)


@pytest.fixture
def now() -> datetime:
    """The command asks by the clock of the machine, so that the shop lives now."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Sick:
    """What a fault is planted into."""

    store: Store
    settings: Settings
    compiled: Path
    bench: Bench
    patch: pytest.MonkeyPatch

    @property
    def file(self) -> Path:
        return Path(self.settings.data) / "castclock.sqlite3"

    def write(self, statement: str, **values: object) -> None:
        with self.store.unit_of_work() as session:
            assert session.connection().execute(text(statement), values).rowcount


@pytest.fixture
def shop(
    store: Store,
    settings: Settings,
    rounds: Rounds,
    bench: Bench,
    windows: Windows,
    now: datetime,
    pour_id: int,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> Sick:
    """A shop with a pour under way, round which the clock has just gone; all is well with it."""
    assert pour_id
    windows.say("strip", "not yet", now + 15 * HOUR)
    for work in (rounds.refresh, rounds.project, rounds.deliver):
        work(now)
    push.key(settings.data)
    compiled = tmp_path / "compiled"
    compiled.mkdir()
    (compiled / "first.kernel").write_bytes(seal.sealed(b"machine code"))
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(compiled))
    return Sick(store, settings, compiled, bench, monkeypatch)


def gone(shop: Sick) -> None:
    shop.store.close()
    for file in shop.file.parent.glob("castclock.sqlite3*"):
        file.unlink()


def garbage(shop: Sick) -> None:
    shop.store.close()
    shop.file.write_bytes(b"no database at all " * 1000)


def torn(shop: Sick) -> None:
    """Pages in the middle of the file are noise, as a failing disk leaves them."""
    shop.write("UPDATE alembic_version SET version_num = version_num")
    with shop.store.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    shop.store.close()
    content = bytearray(shop.file.read_bytes())
    content[8 * 4096 : -4096] = b"\xa5" * (len(content) - 9 * 4096)
    shop.file.write_bytes(content)


def unlawful(shop: Sick) -> None:
    with shop.store.engine.connect() as connection:
        connection.exec_driver_sql("COMMIT")
        connection.exec_driver_sql("PRAGMA ignore_check_constraints = ON")
        connection.exec_driver_sql("UPDATE duty SET attempt = -1")
    shop.store.close()


def stamp(revision: str) -> Callable[[Sick], None]:
    return lambda shop: shop.write("UPDATE alembic_version SET version_num = :it", it=revision)


def beat(hours: float) -> Callable[[Sick], None]:
    def plant(shop: Sick) -> None:
        with shop.store.unit_of_work() as session:
            row = job_of(session, jobs.BEAT)
            assert row is not None
            row.succeeded_at = datetime.now(UTC) + hours * HOUR

    return plant


def never(shop: Sick) -> None:
    shop.write("DELETE FROM duty WHERE key = 'beat'")


def aged(shop: Sick) -> None:
    old = (datetime.now(UTC) - 2 * HOUR).strftime("%Y-%m-%d %H:%M:%S.%f")
    shop.write("UPDATE duty SET succeeded_at = :old WHERE kind = 'projection'", old=old)


def stale(shop: Sick) -> None:
    old = (datetime.now(UTC) - 30 * HOUR).strftime("%Y-%m-%d %H:%M:%S.%f")
    shop.write("UPDATE weather_run SET fetched_at = :old", old=old)


def unanswered(shop: Sick) -> None:
    with shop.store.unit_of_work() as session:
        (taker,) = listeners(session)
        for name in taker.ways:
            keep_test(session, datetime.now(UTC), name, "nobody answers there")


def full(shop: Sick) -> None:
    shop.patch.setattr(shutil, "disk_usage", lambda _: FULL)


def flipped(shop: Sick) -> None:
    (shop.compiled / "second.kernel").write_bytes(seal.sealed(b"machine code")[:-1] + b"\x00")


def unlike(shop: Sick) -> None:
    with shop.store.unit_of_work() as session:
        at = datetime.now(UTC)
        session.add(
            MouldFault(
                created_at=at,
                mould_id=shop.bench.mould_id,
                at=at,
                kind="chipped",
                media_type="image/png",
                sha256="0" * 64,
                content=b"another picture",
            )
        )


def unreadable(shop: Sick) -> None:
    (Path(shop.settings.data) / push.KEY_FILE).write_bytes(b"")


def shown(shop: Sick) -> None:
    (Path(shop.settings.data) / push.KEY_FILE).chmod(0o644)


FAULTS: dict[str, tuple[Callable[[Sick], None], str, str]] = {
    "database missing": (gone, "database", "doctor_database_missing"),
    "database garbage": (garbage, "database", "doctor_database_trouble"),
    "database torn": (torn, "database", "doctor_database_trouble"),
    "rows that cannot be": (unlawful, "database", "doctor_database_damaged"),
    "revision of before": (stamp("0050"), "revision", "doctor_revision_other"),
    "revision of a newer program": (stamp("9999"), "revision", "doctor_revision_unknown"),
    "clock stopped": (beat(-3.0), "clock", "doctor_clock_stopped"),
    "beat of the future": (beat(960.0), "clock", "doctor_clock_ahead"),
    "clock never started": (never, "clock", "doctor_clock_never"),
    "windows aged": (aged, "windows", "doctor_windows_aged"),
    "weather stale": (stale, "weather", "doctor_weather_stale"),
    "channel failing": (unanswered, "channels", "doctor_channels_failing"),
    "disk nearly full": (full, "disk", "doctor_disk_full"),
    "kernels damaged": (flipped, "kernels", "doctor_kernels_damaged"),
    "picture damaged": (unlike, "pictures", "doctor_pictures_damaged"),
    "key unreadable": (unreadable, "keys", "doctor_key_unreadable"),
    "key open to others": (shown, "keys", "doctor_key_open"),
}


def test_a_sound_shop_is_well_line_by_line(shop: Sick) -> None:
    ended = castclock("doctor", "--data", shop.settings.data)
    assert ended.code == 0, ended.out
    lines = ended.out.strip().splitlines()
    assert lines[-2] == ""
    checks = {line.split()[0] for line in lines[:-2] if not line.startswith(" ")}
    assert checks == {
        "database", "revision", "clock", "windows", "notices", "weather", "channels", "pictures",
        "disk", "kernels", "keys",
    }  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_named_and_nothing_else_is(shop: Sick, fault: str) -> None:
    plant, check, code = FAULTS[fault]
    plant(shop)
    ended = castclock("doctor", "--data", shop.settings.data, "--json")
    told = json.loads(ended.out)
    assert (ended.code, told["well"]) == (1, False)
    wrong = {one["check"]: one["code"] for one in told["checks"] if not one["well"]}
    assert wrong.pop(check) == code
    assert set(wrong.values()) <= {"doctor_unseen"}
    assert not wrong or check in ("database", "revision")


def test_the_doctor_makes_nothing_where_nothing_is(tmp_path: Path) -> None:
    assert castclock("doctor", "--data", tmp_path / "shop").code == 1
    assert not (tmp_path / "shop").exists()


def test_the_rows_tell_the_same_on_every_database(any_store: Store, now: datetime) -> None:
    found = {one.check: one for one in examined_rows(any_store, now)}
    assert set(found) == set(doctor.ROWS)
    assert [one for one in found if not found[one].well] == ["clock"]


def examined_rows(store: Store, now: datetime) -> list[Finding]:
    with store.unit_of_work() as session:
        open_shop(session, now, "America/Chicago")
    return list(examined(store, Settings(), now))
