"""How kernels are compiled, in one place."""

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

F = TypeVar("F", bound=Callable[..., Any])


def kernel(function: F) -> F:
    """Compile to machine code: no Python objects, no GIL, IEEE arithmetic, cached on disk."""
    return cast(F, njit(cache=True, nogil=True, fastmath=False, error_model="numpy")(function))
