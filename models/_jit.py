"""How kernels are compiled, in one place."""

import importlib
import io
import logging
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar, cast

from numba import njit
from numba.core.caching import IndexDataCacheFile

from models import seal

# With the types of arrays numba looks for the BLAS of scipy, whose import takes a third of a second
# and 30 MB. No kernel of ours multiplies matrices; told that it is not there, numba goes on.
if "scipy.linalg" not in sys.modules:
    sys.modules["scipy.linalg"] = None  # type: ignore[assignment]  # documented: import fails
    try:
        importlib.import_module("numba.np.arraymath")
    finally:
        del sys.modules["scipy.linalg"]

FACTS = Path(__file__).parent / "facts"
FAST = {"contract", "arcp", "nsz"}
# options that numba reads and its types do not know
NO_WRAPPERS: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
F = TypeVar("F", bound=Callable[..., Any])
log = logging.getLogger("castclock.compiled")


def kernel(function: F) -> F:
    """Compile to machine code: no Python objects, no GIL, cached on disk.

    IEEE arithmetic with NaN and infinity, but for the last bit: products may be fused into sums and
    divisions become products by a reciprocal, which is a fifth of the time.
    """
    compiled = njit(cache=True, nogil=True, fastmath=FAST, error_model="numpy")(function)
    cache = getattr(compiled, "_cache", None)  # none where kernels run as plain Python
    if cache is not None:
        own = cache._cache_file
        cache._cache_file = _Sealed(own._cache_path, cache._impl.filename_base, _stamp(function))
    return cast(F, compiled)


def _stamp(function: Callable[..., Any]) -> list[tuple[int, int]]:
    """Age and size of every file that is compiled into a kernel: stages, facts and its own."""
    own = Path(function.__code__.co_filename)
    files = {own, *own.parent.glob("_*.py"), *FACTS.glob("*.py"), FACTS.with_name("units.py")}
    return [(file.stat().st_mtime_ns, file.stat().st_size) for file in sorted(files)]


def stage(function: F) -> F:
    """Compile a part of a kernel into each kernel that calls it: it costs no call.

    Without the wrappers for calls from Python and C, which took a third of the compiling: Python
    may call a stage as `.py_func` only.
    """
    inline = njit(
        nogil=True,
        fastmath=FAST,
        error_model="numpy",
        forceinline=True,
        **NO_WRAPPERS,
    )
    return cast(F, inline(function))


class _Sealed(IndexDataCacheFile):
    """Files of compiled code that heal: one that a power cut tore or emptied counts as none.

    Behind the content stands its SHA-256, since torn machine code would run, and crash or lie.
    Numba's own reader stops before it. What cannot be read or kept is compiled anew.
    """

    def save(self, key: Any, data: Any) -> None:
        try:
            super().save(key, data)
        except OSError as error:  # a full disk: what was compiled runs all the same
            log.warning("compiled code is not kept: %s", error)

    def _load_index(self) -> Any:
        if not _is_whole(self._index_path):
            return {}
        try:
            return super()._load_index()
        except (AttributeError, ImportError):  # by another version: a type of its kernel is gone
            return {}

    def _load_data(self, name: str) -> Any:
        path = self._data_path(name)
        if not _is_whole(path):
            raise FileNotFoundError(path)  # which its caller takes for: compile it
        return super()._load_data(name)

    @contextmanager
    def _open_for_write(self, filepath: str) -> Iterator[io.BytesIO]:
        content = io.BytesIO()
        yield content
        with super()._open_for_write(filepath) as file:
            file.write(seal.sealed(content.getvalue()))


def _is_whole(path: str) -> bool:
    try:
        whole = seal.is_whole(Path(path))
    except OSError:
        return False
    if not whole:
        log.warning("%s is damaged: compiled anew", path)
    return whole
