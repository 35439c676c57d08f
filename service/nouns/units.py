"""Units beside a box: which may be chosen, what a bare number is in, how a stored value stands."""

import math
import re
from dataclasses import dataclass

from models import quantity
from models.errors import InputError
from models.facts.conversions import DIMENSIONS
from service.words.reader import Units

# dimension -> the kind of unit that a reader chooses, its units in SI and in US customary; the
# first of them is what a bare number is in
CHOICES: dict[str, tuple[str, tuple[str, ...], tuple[str, ...]]] = {
    "temperature_C": ("temperature", ("C",), ("F",)),
    "temperature_difference_K": ("temperature", ("K",), ("F",)),
    "length_mm": ("length", ("mm", "cm", "m"), ("in", "ft")),
    "height_m": ("length", ("m",), ("ft",)),
    "area_m2": ("length", ("m2",), ("ft2",)),
    "speed_m_s": ("length", ("m/s", "km/h"), ("mph",)),
    "mass_kg": ("mass", ("kg", "g"), ("lb", "oz")),
    "mass_g": ("mass", ("g", "kg"), ("oz", "lb")),
    "density_kg_m3": ("mass", ("kg/m3",), ("lb/yd3", "lb/ft3")),
    "heat_kJ_kg": ("mass", ("kJ/kg",), ("Btu/lb",)),
    "volume_l": ("volume", ("l", "ml"), ("qt", "gal", "floz", "ft3")),
    "coverage_m2_l": ("volume", ("m2/l",), ("ft2/gal",)),
    "stress_MPa": ("strength", ("MPa",), ("psi",)),
    "resistance_m2K_W": ("temperature", ("m2K/W",), ("hft2F/Btu",)),
    "time_h": ("", ("h", "min", "d"), ()),
    "time_d": ("", ("d", "week"), ()),
}
SIGNS = {
    "C": "\u00b0C",
    "F": "\u00b0F",
    "K": "\u00b0C",  # of a difference: degrees
    "l": "L",
    "m2": "m\u00b2",
    "m2/l": "m\u00b2/L",
    "kg/m3": "kg/m\u00b3",
    "m2K/W": "m\u00b2K/W",
    "floz": "fl oz",
    "ft2": "sq ft",
    "ft2/gal": "sq ft/gal",
    "ft3": "cu ft",
    "lb/ft3": "lb/cu ft",
    "lb/yd3": "lb/cu yd",
    "hft2F/Btu": "h ft\u00b2 \u00b0F/Btu",
    "d": "days",
    "week": "weeks",
}
_SIGNED = {sign: unit for unit, sign in SIGNS.items()}
BELOW_NOUGHT = ("temperature_C", "temperature_difference_K", "angle_deg")
BY_FRACTION = ("in", "ft")  # of a rule: 1 1/2
DIGITS = 4  # of a stored value that has no end in the unit it is shown in
# "10 to 600 mm", "60 or more", "20" at the end of a sentence
_RANGE = re.compile(
    r"(?<![\w.])(?P<amounts>-?\d+(?:\.\d+)?(?:e\+\d+)?(?: to -?\d+(?:\.\d+)?(?:e\+\d+)?)?)"
    r"(?: (?!or\b|to\b)(?P<unit>[a-zA-Z\u00b0][a-zA-Z0-9/\u00b0]*)(?=[\s,;.)]|$)"
    r"|$|(?= or more| or less))"
)
_AMOUNT = re.compile(r"[-+]?[\d.,/ ]*\d")


@dataclass(frozen=True)
class Box:
    """What stands in a box, the unit beside it, and what it was made from, where that has more
    digits: sent back untouched, it is the stored value again."""

    text: str
    unit: str = ""
    kept: str = ""


def units_for(dimension: str, units: Units, first: str = "") -> tuple[str, ...]:
    """The units of a box, the reader's own first, then the others.

    first : of the own ones, where it is another than is usual
    """
    if dimension not in CHOICES:
        return ()
    kind, si, us = CHOICES[dimension]
    own, other = (us, si) if kind and units.customary(kind) else (si, us)
    if first in own:
        own = (first, *(one for one in own if one != first))
    return (*own, *other)


def sign(unit: str) -> str:
    return SIGNS.get(unit, unit)


def keyboard(dimension: str, unit: str, whole: bool) -> str:
    """The inputmode of a box. A fraction needs the letters' keyboard, and so does a minus on some
    phones: there the script gives the digits and a key for the sign beside them."""
    if whole:
        return "numeric"
    if unit in BY_FRACTION or dimension in BELOW_NOUGHT:
        return "text"
    return "decimal" if dimension else ""


def parted(dimension: str, text: str) -> tuple[str, str]:
    """A text as its number and its unit, be it typed or as its sign is written; the unit is ""
    where it has none, or several."""
    found = _AMOUNT.match(text)
    if found is None:
        return text, ""
    unit = text[found.end() :].strip()
    if unit.lower() not in DIMENSIONS[dimension].units:
        unit = _SIGNED.get(unit, unit)
    if unit.lower() not in DIMENSIONS[dimension].units:
        return text, ""
    return found.group().strip(), unit


def shown_in(field: str, text: str, dimension: str, units: tuple[str, ...]) -> Box:
    """A stored text with its unit, as its reader measures."""
    _, unit = parted(dimension, text)
    if not units or not unit:
        return Box(text, units[0] if units else "")
    try:
        value = quantity.read(field, text, dimension)
    except InputError:
        return Box(text, units[0])
    system = _system(dimension, units)
    for one in (units[0], *system):
        found = exact(field, value, dimension, one)
        if found:
            return Box(found, one)
    rounded = near(value, dimension, units[0])
    return Box(rounded, units[0], f"{rounded}|{units[0]}|{value:.12g}")


def _system(dimension: str, units: tuple[str, ...]) -> tuple[str, ...]:
    """The other units of the first one's system, which a reader knows as well."""
    _, si, us = CHOICES[dimension]
    return tuple(one for one in units[1:] if (one in si) == (units[0] in si or not us))


def exact(field: str, value: float, dimension: str, unit: str) -> str:
    """The fewest digits that read back as the very same value; "" where six do not."""
    amount = _amount(value, dimension, unit)
    few = [f"{float(f'{amount:.{k}g}'):.12g}" for k in range(1, 7)]
    rule = near(value, dimension, unit)
    for text in (rule, *few) if unit in BY_FRACTION else (*few, rule):
        if quantity.read(field, text, dimension, bare_unit=unit) == float(f"{value:.12g}"):
            return text
    return ""


def near(value: float, dimension: str, unit: str) -> str:
    """The value in few digits; inches to a sixteenth."""
    amount = _amount(value, dimension, unit)
    if unit == "in":
        text = quantity.show(value, dimension, "us").split(" = ")[0]
        return text.removeprefix("about ").removesuffix(" in")
    if dimension in ("temperature_C", "temperature_difference_K"):
        return f"{amount:z.1f}".removesuffix(".0")
    return f"{float(f'{amount:.{DIGITS}g}'):.12g}"


def _amount(value: float, dimension: str, unit: str) -> float:
    factor, offset = DIMENSIONS[dimension].units[unit.lower()]
    amount = (value - offset) / factor
    return amount if math.isfinite(amount) else 0.0


def kept_value(kept: str, text: str, unit: str) -> float | None:
    """The stored value, where its box came back as it was shown."""
    shown, _, rest = kept.partition("|")
    of, _, value = rest.partition("|")
    if (shown, of) != (text, unit):
        return None
    try:
        number = float(value)
    except ValueError:
        return None
    return number if math.isfinite(number) else None


def either(text: str, dimension: str, units: Units) -> str:
    """Of a hint or a default "36 kg or 80 lb; empty: none" what its reader would write."""
    figures, semicolon, rest = text.partition(";")
    halves = figures.split(" or ")
    if (
        dimension not in CHOICES
        or len(halves) != 2
        or not all(parted(dimension, h)[1] for h in halves)
    ):
        return text
    kind = CHOICES[dimension][0]
    half = halves[kind != "" and units.customary(kind)]
    amount, unit = parted(dimension, half)
    return f"{amount} {sign(unit)}{semicolon}{rest}"


def in_readers(text: str, dimension: str, units: tuple[str, ...]) -> str:
    """Amounts of a sentence ("10 to 600 mm") in the unit that stands beside the box."""
    if not units or not dimension:
        return text
    own = DIMENSIONS[dimension].own

    def turned(found: re.Match[str]) -> str:
        unit = (found["unit"] or own).replace("deg", "")
        if unit.lower() not in DIMENSIONS[dimension].units:
            return found.group()
        amounts = [
            near(quantity.read("", one, dimension, bare_unit=unit), dimension, units[0])
            for one in found["amounts"].split(" to ")
        ]
        return f"{' to '.join(amounts)} {sign(units[0])}"

    return _RANGE.sub(turned, text)
