"""How kernels are compiled, kept and called, in one place.

The first call with arguments of some types has numba make object code of the function, which is
kept on the disk. From then on llvmlite loads that, and numba with its 0.7 s and 50 MB stays out.
"""

import ctypes
import functools
import hashlib
import itertools
import json
import logging
import os
import struct
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any, TypeVar, cast

import llvmlite
import llvmlite.binding as llvm
import numpy as np

from models import seal

FACTS = Path(__file__).parent / "facts"
OPTIONS: dict[str, Any] = {
    "nogil": True,
    "fastmath": {"contract", "arcp", "nsz"},
    "error_model": "numpy",
    # what would call it from Python and from C is a third of the compiling, and ours is another
    "no_cpython_wrapper": True,
    "no_cfunc_wrapper": True,
}
PLAIN = os.environ.get("NUMBA_DISABLE_JIT", "0") not in ("", "0")  # run as Python, to find faults
MEANING = ("nogil", "fastmath", "error_model")
ENTRY = ctypes.CFUNCTYPE(ctypes.c_int32, ctypes.c_char_p)  # lets go of the GIL
LIBC = ctypes.CDLL(None)
LIBC.free.argtypes, LIBC.free.restype = [ctypes.c_void_p], None
# what object code may ask of the C library; all else would be numba's own
OUTSIDE = (
    *("malloc", "free", "memcpy", "memset", "memmove"),
    *("exp", "exp2", "expm1", "log", "log2", "log10", "log1p", "pow", "sqrt", "cbrt", "hypot"),
    *("sin", "cos", "tan", "asin", "acos", "atan", "atan2", "sinh", "cosh", "tanh"),
    *("floor", "ceil", "rint", "fabs", "fmod"),
)
LOCK = threading.RLock()
LAYOUT = 0x1 | 0x100  # of an array's flags: C contiguous, aligned (numpy's C API)
F = TypeVar("F", bound=Callable[..., Any])
Ready = Callable[..., Any]  # takes the words of its arguments, and these
log = logging.getLogger("castclock.compiled")


@dataclass(frozen=True)
class Code:
    """Object code; by value that it gives, its code and of an array how many axes; and what it asks
    of the C library by name."""

    machine: bytes
    gives: list[tuple[str, int]]
    asks: list[str]


def kernel(function: F) -> F:
    """Compile to machine code: no Python objects, no GIL, kept on the disk.

    IEEE arithmetic with NaN and infinity, but for the last bit: products may be fused into sums and
    divisions become products by a reciprocal, which is a fifth of the time.
    """
    return function if PLAIN else cast(F, _Kernel(function))


def stage(function: F) -> F:
    """Compile a part of a kernel into each kernel that calls it: it costs no call.

    Python may call it as `.py_func` only.
    """
    return function if PLAIN else cast(F, _Part(function, forceinline=True))


class _Part:
    """A function for numba to compile into what calls it; numba is loaded when it asks."""

    def __init__(self, function: Callable[..., Any], **options: Any) -> None:
        functools.update_wrapper(cast(Any, self), function)
        self.py_func, self._options = function, OPTIONS | options

    @functools.cached_property
    def _dispatcher(self) -> Any:
        return _numba().njit(**self._options)(self.py_func)

    @property
    def _numba_type_(self) -> Any:
        """What numba asks of an object that it does not know."""
        return self._dispatcher._numba_type_


class _Kernel(_Part):
    """A function called as object code, which is made for each set of types it is called with."""

    def __init__(self, function: Callable[..., Any]) -> None:
        super().__init__(function)
        self._ready: dict[tuple[Any, ...], Ready] = {}

    @property
    def signatures(self) -> tuple[tuple[Any, ...], ...]:
        """The types it was called with so far."""
        return tuple(self._ready)

    def __call__(self, *arguments: Any) -> Any:
        kinds: list[Any] = []
        words: list[Any] = []
        for one in arguments:
            _lay_open(one, kinds, words)
        ready = self._ready.get(tuple(kinds)) or self._made(tuple(kinds), arguments, words)
        return ready(words, arguments)

    def _made(self, kinds: tuple[Any, ...], arguments: tuple[Any, ...], words: list[Any]) -> Ready:
        with LOCK:
            if kinds not in self._ready:
                self._ready[kinds] = self._kept(kinds, arguments, words) or self._by_numba()
            return self._ready[kinds]

    def _kept(
        self, kinds: tuple[Any, ...], arguments: tuple[Any, ...], words: list[Any]
    ) -> Ready | None:
        """Object code from the disk, or made and put there; None where it would need numba."""
        entry = f"{self.py_func.__module__}.{self.py_func.__qualname__}-{_short(kinds)}"
        file = _folder() / f"{entry}-{_here()}{seal.KIND}"
        made_of = _stamp(Path(self.py_func.__code__.co_filename))
        code = _read(file, made_of) or self._emitted(arguments, entry, file, made_of)
        engine = _engine()
        if code is None or not all(map(llvm.address_of_symbol, code.asks)):
            return None
        return _loaded(engine, entry, code, words)

    def _emitted(
        self, arguments: tuple[Any, ...], entry: str, file: Path, made_of: str
    ) -> "Code | None":
        _numba()
        emit = import_module("models._emit")
        try:
            found = emit.object_code(self.py_func, arguments, self._options, entry)
        except Exception as error:  # noqa: BLE001  of numba's own rooms: another version may differ
            log.warning("%s is left to numba: %s: %s", entry, type(error).__name__, error)
            return None
        code = Code(*found)
        _keep(file, made_of, code)
        return code

    def _by_numba(self) -> Ready:
        """As numba itself would run it: what this machine cannot run without it."""
        compiled = _numba().njit(**{name: self._options[name] for name in MEANING})(self.py_func)
        return lambda _, arguments: compiled(*arguments)


@functools.cache
def _stamp(own: Path) -> str:
    """What every file says that is compiled into a kernel: stages, facts and its own. Their age
    would be another wherever an image or a checkout is unpacked."""
    files = {own, *own.parent.glob("_*.py"), *FACTS.glob("*.py"), FACTS.with_name("units.py")}
    files |= {Path(__file__), Path(__file__).with_name("_emit.py")}
    return _short([_digest(file) for file in sorted(files)])


@functools.cache
def _digest(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()


def _lay_open(argument: Any, kinds: list[Any], words: list[Any]) -> None:
    """Put the type of an argument behind kinds, and its words as `models._emit` takes them."""
    if isinstance(argument, np.ndarray):
        kinds += (argument.dtype.str, argument.ndim, argument.flags.num & LAYOUT)
        words.append(id(argument))
    elif isinstance(argument, tuple):
        kinds += (type(argument), len(argument))
        for one in argument:
            _lay_open(one, kinds, words)
    elif isinstance(argument, bool | np.bool_):
        kinds.append("?")
        words.append(int(argument))
    elif isinstance(argument, float | np.floating):
        kinds.append("d")
        words.append(float(argument))
    else:
        kinds.append("q")
        words.append(int(argument))


def _loaded(engine: Any, entry: str, code: Code, words: list[Any]) -> Ready:
    """Object code as a function of the words of its arguments, which are such as these."""
    engine.add_object_file(llvm.ObjectFileRef.from_data(code.machine))
    engine.finalize_object()
    called = ENTRY(engine.get_function_address(entry))
    takes = struct.Struct("=" + "".join("d" if isinstance(one, float) else "q" for one in words))
    gives = struct.Struct(
        "="
        + "".join("q" * (2 + axes) if axes else kind.replace("?", "q") for kind, axes in code.gives)
    )

    def ready(words: list[Any], _: tuple[Any, ...]) -> Any:
        buffer = ctypes.create_string_buffer(takes.pack(*words), takes.size + gives.size)
        if called(buffer):
            raise MemoryError(f"{entry}: no memory, or arrays that do not fit each other")
        told = iter(gives.unpack_from(buffer, takes.size))
        found = tuple(_value(kind, axes, told) for kind, axes in code.gives)
        return found if len(found) > 1 else found[0] if found else None

    return ready


def _value(kind: str, axes: int, told: Iterator[Any]) -> Any:
    """One value out of the words that tell it: a number, or an array, whose memory is freed."""
    if not axes:
        return bool(next(told)) if kind == "?" else next(told)
    block, data, *shape = itertools.islice(told, 2 + axes)
    out = np.empty(shape, kind)
    ctypes.memmove(out.ctypes.data, data, out.nbytes)
    LIBC.free(block)
    return out


@functools.cache
def _engine() -> Any:
    """Where object code is put and bound to the C library."""
    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    target = llvm.Target.from_triple(llvm.get_process_triple())
    machine = target.create_target_machine(jit=True, codemodel="jitdefault")
    for name in OUTSIDE:
        with suppress(AttributeError):  # then code that asks for it is not loaded
            llvm.add_symbol(name, ctypes.cast(getattr(LIBC, name), ctypes.c_void_p).value)
    return llvm.create_mcjit_compiler(llvm.parse_assembly(""), machine)


def _folder() -> Path:
    """Where compiled code lies: where the root says, else beside what it is made of."""
    return Path(os.environ.get("NUMBA_CACHE_DIR") or Path(__file__).parent / "__pycache__")


@functools.cache
def _here() -> str:
    """The processor and the libraries that object code is made for, as numba reads them."""
    asked = tuple(os.environ.get(f"NUMBA_CPU_{name}") for name in ("NAME", "FEATURES"))
    found = (
        asked if asked[0] else (llvm.get_host_cpu_name(), llvm.get_host_cpu_features().flatten())
    )
    made_by = (np.__version__, llvmlite.__version__, object.__basicsize__)
    return _short((llvm.get_process_triple(), *asked, *found, *made_by, str(FACTS)))


def _short(what: object) -> str:
    return hashlib.sha256(repr(what).encode()).hexdigest()[:16]


def _read(file: Path, made_of: str) -> Code | None:
    """Code that is kept; None where none is, where it is of other sources, or damaged.

    Torn machine code would run, and crash or lie: behind it stands its SHA-256.
    """
    try:
        content = file.read_bytes()
    except OSError:
        return None
    if not seal.holds(content):
        log.warning("%s is damaged: compiled anew", file)
        return None
    head, _, machine = content[: -seal.LENGTH].partition(b"\n")
    told = json.loads(head)
    if told["made_of"] != made_of:
        return None
    return Code(machine, told["gives"], told["asks"])


def _keep(file: Path, made_of: str, code: Code) -> None:
    """Put it where the next run finds it; where that fails it runs all the same."""
    head = json.dumps({"made_of": made_of, "gives": code.gives, "asks": code.asks}).encode()
    beside = file.with_suffix(f".{os.getpid()}")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        beside.write_bytes(seal.sealed(head + b"\n" + code.machine))
        os.replace(beside, file)
    except OSError as error:  # a full disk
        log.warning("compiled code is not kept: %s", error)
        with suppress(OSError):
            beside.unlink()


def _numba() -> Any:
    """numba, told that scipy is not there: with the types of arrays it looks for the BLAS of scipy,
    whose import takes a third of a second and 30 MB, and no kernel of ours multiplies matrices."""
    if "numba.np.arraymath" not in sys.modules and "scipy.linalg" not in sys.modules:
        sys.modules["scipy.linalg"] = None  # type: ignore[assignment]  # documented: import fails
        try:
            import_module("numba.np.arraymath")
        finally:
            del sys.modules["scipy.linalg"]
    return import_module("numba")


if not PLAIN and not any(_folder().glob(f"*-{_here()}{seal.KIND}")):
    _numba()  # it will be asked to compile: who starts is told at once where it cannot
