"""Compiled code that a power cut damaged is compiled anew; it never stops or misleads a pour."""

import hashlib
import importlib.util
import pickle
from collections.abc import Callable
from pathlib import Path

import numba
import pytest
from numba.core import config
from numba.core.dispatcher import Dispatcher

SOURCE = """
from models._jit import kernel

@kernel
def thrice(x):
    return 3.0 * x
"""
DAMAGE: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda _: b"",
    "cut short": lambda content: content[: len(content) // 2],
    "zeros": lambda content: bytes(len(content)),
    "zeros at the end": lambda content: content[:-600] + bytes(600) if len(content) > 600 else b"",
    "garbage": lambda content: b"\xa5\x17" * (len(content) // 2),
    "one bit": lambda content: content[:-40] + bytes([content[-40] ^ 1]) + content[-39:],
}


@pytest.fixture
def started(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[], Dispatcher]:
    """The kernel as a program finds it that has just been started."""
    source, folder = tmp_path / "kernels.py", tmp_path / "cache"
    source.write_text(SOURCE, encoding="utf-8")
    folder.mkdir()
    monkeypatch.setattr(config, "CACHE_DIR", str(folder))

    def start() -> Dispatcher:
        spec = importlib.util.spec_from_file_location("kernels", source)
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        thrice: Dispatcher = module.thrice
        return thrice

    return start


def files(folder: Path, kind: str) -> list[Path]:
    found = sorted((folder / "cache").rglob(kind))
    assert found
    return found


@pytest.mark.parametrize("kind", ["*.nbi", "*.nbc", "*.nb?"])
@pytest.mark.parametrize("damage", DAMAGE)
def test_damaged_compiled_code_is_compiled_anew_and_kept_again(
    damage: str, kind: str, tmp_path: Path, started: Callable[[], Dispatcher]
) -> None:
    assert started()(2.0) == 6.0
    for file in files(tmp_path, kind):
        file.write_bytes(DAMAGE[damage](file.read_bytes()))
    healed = started()
    assert healed(2.0) == 6.0
    assert not healed.stats.cache_hits
    again = started()
    assert again(2.0) == 6.0
    assert sum(again.stats.cache_hits.values()) == 1


def test_compiled_code_for_types_of_another_version_is_compiled_anew(
    tmp_path: Path, started: Callable[[], Dispatcher]
) -> None:
    assert started()(2.0) == 6.0
    [index] = files(tmp_path, "*.nbi")
    content = pickle.dumps(numba.__version__) + b"cmodels.units\nNoSuchType\n."
    index.write_bytes(content + hashlib.sha256(content).digest())
    healed = started()
    assert healed(2.0) == 6.0
    assert not healed.stats.cache_hits


def test_compiled_code_that_cannot_be_kept_runs_all_the_same(
    tmp_path: Path, started: Callable[[], Dispatcher], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    kernel = started()
    monkeypatch.setattr("os.replace", full)
    assert kernel(2.0) == 6.0
    assert not list((tmp_path / "cache").rglob("*.nbc"))
