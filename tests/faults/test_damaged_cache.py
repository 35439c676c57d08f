"""Compiled code that a power cut damaged is compiled anew; it never stops or misleads a pour."""

import importlib.util
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from models import _emit, _jit

SOURCE = """
from models._jit import kernel

@kernel
def {name}(x):
    return 3.0 * x
"""
DAMAGE: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda _: b"",
    "cut short": lambda content: content[: len(content) // 2],
    "zeros": lambda content: bytes(len(content)),
    "zeros at the end": lambda content: content[:-600] + bytes(600),
    "garbage": lambda content: b"\xa5\x17" * (len(content) // 2),
    "one bit": lambda content: content[:-40] + bytes([content[-40] ^ 1]) + content[-39:],
}


class Started:
    """A kernel as a program finds it that has just been started, and how often it was compiled."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder, self.compiled = folder, 0
        self._name = f"thrice_{abs(hash(folder))}"  # its entry is one of a whole process
        (folder / "source.py").write_text(SOURCE.format(name=self._name), encoding="utf-8")
        monkeypatch.setenv("NUMBA_CACHE_DIR", str(folder / "cache"))
        made = _emit.object_code

        def counted(*asked: object) -> object:
            self.compiled += 1
            return made(*asked)  # type: ignore[arg-type]

        monkeypatch.setattr(_emit, "object_code", counted)

    def __call__(self, x: float) -> float:
        spec = importlib.util.spec_from_file_location("source", self.folder / "source.py")
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        return float(getattr(module, self._name)(x))

    @property
    def files(self) -> list[Path]:
        return sorted((self.folder / "cache").rglob("*"))


def forget() -> None:
    """What this process knows of its sources."""
    _jit._stamp.cache_clear()
    _jit._digest.cache_clear()


@pytest.fixture
def started(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Started:
    return Started(tmp_path, monkeypatch)


@pytest.mark.parametrize("damage", DAMAGE)
def test_damaged_compiled_code_is_compiled_anew_and_kept_again(
    damage: str, started: Started, caplog: pytest.LogCaptureFixture
) -> None:
    assert started(2.0) == 6.0
    [file] = started.files
    file.write_bytes(DAMAGE[damage](file.read_bytes()))
    assert started(2.0) == 6.0
    assert started.compiled == 2
    assert "is damaged: compiled anew" in caplog.text
    assert started(2.0) == 6.0
    assert started.compiled == 2


def test_code_of_other_sources_or_libraries_is_compiled_anew(
    started: Started, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert started(2.0) == 6.0
    source = started.folder / "source.py"
    os.utime(source, (0, 0))  # unpacked elsewhere it is as it was
    forget()
    assert started(2.0) == 6.0
    assert started.compiled == 1
    source.write_text(source.read_text().replace("3.0", "5.0"), encoding="utf-8")
    forget()
    assert len(started.files) == 1
    monkeypatch.setattr(_jit, "_loaded", lambda *_: lambda *_: 10.0)  # its entry is there already
    assert started(2.0) == 10.0
    assert (started.compiled, len(started.files)) == (2, 1)
    monkeypatch.setattr(_jit, "_here", lambda: "another processor")
    assert started(2.0) == 10.0
    assert (started.compiled, len(started.files)) == (3, 2)


def test_compiled_code_that_cannot_be_kept_runs_all_the_same(
    started: Started, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    assert started(2.0) == 6.0
    assert started.files == []


def test_what_would_need_numba_to_run_is_run_by_it(
    started: Started, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """Object code that asks for what no C library has would end the process where it is loaded."""
    monkeypatch.setattr(_emit, "undefined", lambda _: {"__powidf2"})
    assert started(2.0) == 6.0
    assert "asks for __powidf2" in caplog.text
    assert started.files == []


def test_a_numba_that_is_built_otherwise_runs_its_own_code(
    started: Started, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def unknown(*_: object) -> None:
        raise AttributeError("no _final_module")

    monkeypatch.setattr(_emit, "_leave_only", unknown)
    assert started(2.0) == 6.0
    assert "left to numba: AttributeError: no _final_module" in caplog.text
    assert started.files == []


def test_kept_code_that_asks_for_what_is_not_here_is_not_loaded(
    started: Started, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(_emit, "undefined", lambda _: {"hypot"})
    assert started(2.0) == 6.0
    monkeypatch.setattr("llvmlite.binding.address_of_symbol", lambda _: None)
    monkeypatch.setattr(_jit, "_loaded", lambda *_: pytest.fail("loaded"))
    assert started(2.0) == 6.0
