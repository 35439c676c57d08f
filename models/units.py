"""Range checks and the constants of the border; quantities typed by people are read in quantity.py.

SI inside: degC, K, h, mm or m as named, kg, MPa, W, m2K/W.
"""

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray

from models.errors import InputError

KELVIN = 273.15  # 0 degC in K
GAS_J_MOLK = 8.314462618  # molar gas constant [J/(mol K)], CODATA 2018
GRAVITY_M_S2 = 9.80665
STEFAN_BOLTZMANN_W_M2K4 = 5.670374419e-8

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Index = NDArray[np.int_]
Limits = Mapping[str, tuple[float, float, str]]  # by field: least, most, unit


def within(field: str, value: ArrayLike, low: float, high: float, unit: str = "") -> Array:
    """`value` as float64, refused where not finite or outside [low, high] (ends included)."""
    try:
        numbers = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError):
        raise InputError(field, value, "not a number", _span(low, high, unit)) from None
    # NaN compares false, so it is bad
    if numbers.size and not (numbers.min() >= low and numbers.max() <= high):
        bad = ~((numbers >= low) & (numbers <= high))
        first = float(numbers[bad].flat[0])
        wrong = "not a finite number" if not np.isfinite(first) else "outside the allowed range"
        raise InputError(field, first, wrong, _span(low, high, unit))
    return numbers


def number_within(field: str, value: object, low: float, high: float, unit: str = "") -> float:
    """One number of a record or file, checked; booleans and text are not numbers."""
    if isinstance(value, bool) or not isinstance(value, (int, float, np.floating, np.integer)):
        raise InputError(field, value, "not a number", _span(low, high, unit))
    return float(within(field, float(value), low, high, unit))


def optional_within(row: object, limits: Iterable[tuple[str, float, float, str]]) -> None:
    """The numbers of a row that were told, each checked; limits: field, least, most, unit."""
    for name, low, high, unit in limits:
        value = getattr(row, name)
        if value is not None:
            number_within(name, value, low, high, unit)


def arrays_within(
    group: str, arrays: object, limits: Limits, shape: tuple[int, ...], *, gaps: bool = False
) -> None:
    """The arrays of a group, each of that shape and in its range; None is left out.

    gaps : NaN is nothing there, and allowed
    """
    for name, (low, high, unit) in limits.items():
        values = getattr(arrays, name)
        if values is None:
            continue
        if values.shape != shape:
            raise InputError(f"{group}.{name}", values.shape, "does not fit", str(shape))
        within(f"{group}.{name}", values[~np.isnan(values)] if gaps else values, low, high, unit)


def untold(noun: object, *names: str) -> tuple[str, ...]:
    """The fields of a noun that are None: nobody told them."""
    return tuple(name for name in names if getattr(noun, name) is None)


def one_of(field: str, value: object, allowed: Iterable[str]) -> str:
    """A word of a fixed vocabulary."""
    words = tuple(allowed)
    if value not in words:
        raise InputError(field, value, "not a known word", "one of " + " | ".join(words))
    return str(value)


def _span(low: float, high: float, unit: str) -> str:
    return f"{low:g} to {high:g}{' ' + unit if unit else ''}"
