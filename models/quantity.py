"""Quantities as makers type them: 1 1/2 in, 5' 6", 55 F, 4000 psi, 0,5 m; read and shown.

A bare number is already in the unit of its dimension; a text carries its unit. A length written
with a fraction and no unit is in inches, since no metric rule is divided into eighths.
"""

import math
import re
import unicodedata

from models.errors import InputError
from models.facts.conversions import DIMENSIONS, Dimension

LONGEST_TEXT = 60
INCH_PARTS = 16  # rules for concrete work are divided into sixteenths

_TYPING = str.maketrans(
    {
        **dict.fromkeys("\u2019\u2018\u2032\u00b4", "'"),
        **dict.fromkeys("\u201d\u201c\u2033", '"'),
        **dict.fromkeys("\u2212\u2013\u2010\u2011", "-"),
        **dict.fromkeys("\u00a0\u2009\u202f\t", " "),
        **{"\u2044": "/", "\u00b2": "2", "\u00b3": "3", "\u00b7": ""},
        **{"\u00ba": "\u00b0", "\u2103": "\u00b0C", "\u2109": "\u00b0F"},
    }
)
_NUMBER = re.compile(
    r"(?:(?P<whole>\d+)[ -]+(?P<top>\d+)/(?P<below>\d+)"
    r"|(?P<numerator>\d+)/(?P<denominator>\d+)"
    r"|(?P<plain>\d+(?:[.,]\d*)?|[.,]\d+))",
    re.ASCII,
)
_SIGN = re.compile(r"[+-] ?", re.ASCII)
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}$", re.ASCII)


def read(field: str, value: object, dimension: str, *, bare_unit: str | None = None) -> float:
    """The value in the unit of `dimension`, a key of DIMENSIONS [the unit in that key].

    value : a number, already in the dimension's own unit, or a text with a unit
    bare_unit : the unit beside the box where it was typed, for a text that carries none

    Raises InputError naming the field for anything else; never any other error.
    Source: NIST_SP_811, the exact definitions of the inch, pound, gallon and Btu (IT).

    >>> read("thickness_mm", "1 1/2 in", "length_mm")
    38.1
    """
    row = DIMENSIONS[dimension]
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise InputError(field, value, "neither a number nor a text with a unit", row.examples)
    if isinstance(value, str):
        return _from_text(field, value, row, bare_unit)
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise InputError(field, number, "not a finite number", row.examples)
    return number


def show(value: float, dimension: str, system: str = "metric") -> str:
    """Both ways, own system first: "38.1 mm = 1 1/2 in"; says "about" where a figure is rounded.

    value in the unit of `dimension` [the unit in that key]; system : metric | us
    Source: NIST_SP_811.

    >>> show(38.0, "length_mm")
    '38 mm = about 1 1/2 in'
    """
    row = DIMENSIONS[dimension]
    value = read(dimension, value, dimension)
    first, second = row.shown if system == "metric" else row.shown[::-1]
    text = _printed(value, row, *first)
    return text if first[0] == second[0] else f"{text} = {_printed(value, row, *second)}"


def _from_text(field: str, typed: str, row: Dimension, bare_unit: str | None) -> float:
    if len(typed) > LONGEST_TEXT:
        raise InputError(field, typed, f"longer than {LONGEST_TEXT} characters", row.examples)
    text = _spelled_out(typed)
    sign = _SIGN.match(text)
    toward = -1.0 if sign and sign.group().startswith("-") else 1.0
    rest = text[sign.end() :] if sign else text
    total = 0.0
    done: list[str] = []
    while True:
        found = _NUMBER.match(rest)
        if found is None:
            wrong = "not a quantity" if not done else "the part after the first unit is not read"
            raise InputError(field, typed, wrong, row.examples)
        number = _number(field, typed, found, row)
        unit, rest = _unit_and_rest(rest[found.end() :])
        if not unit and done and row.chain:
            unit = _following(row, done[-1])  # 5' 6 means 5' 6"
        factor, offset = _factor(field, typed, unit, found, row, bare_unit)
        if done:
            _check_chain(field, typed, row, done[-1], unit, number)
        total += toward * number * factor + offset
        done.append(_canonical(row, unit))
        if not rest:
            return float(f"{total:.12g}")  # 38.1, not 38.099999999999994


def _spelled_out(typed: str) -> str:
    """Fraction characters as " a/b", typographic marks as typed ones, runs of blanks as one."""
    out = []
    for char in typed:
        parts = unicodedata.decomposition(char)
        if parts.startswith("<fraction>"):
            out.append(" " + "".join(chr(int(code, 16)) for code in parts.split()[1:]))
        else:
            out.append(char)
    return " ".join("".join(out).translate(_TYPING).replace("''", '"').split())


def _number(field: str, typed: str, found: re.Match[str], row: Dimension) -> float:
    plain = found["plain"]
    if plain is not None:
        if _THOUSANDS.match(plain):
            digits = plain.replace(",", "")
            wrong = "the comma may mean thousands or decimals"
            raise InputError(
                field, typed, wrong, f"{digits} or {plain.replace(',', '.')} before the unit"
            )
        return float(plain.replace(",", "."))
    top, below = found["top"] or found["numerator"], found["below"] or found["denominator"]
    if int(below) == 0:
        raise InputError(field, typed, "a fraction over nought", row.examples)
    return int(found["whole"] or 0) + int(top) / int(below)


def _unit_and_rest(text: str) -> tuple[str, str]:
    """The unit up to the next number, and what follows; 'ft2' keeps its digit."""
    text = text.lstrip()
    for k, char in enumerate(text):
        begins_number = char in "0123456789" and (k == 0 or text[k - 1] in " '\"-")
        if begins_number:
            return _squeezed(text[:k].rstrip(" -")), text[k:]
    return _squeezed(text), ""


def _squeezed(unit: str) -> str:
    return "".join(char for char in unit.lower() if char not in " .*^")


def _factor(
    field: str,
    typed: str,
    unit: str,
    found: re.Match[str],
    row: Dimension,
    bare_unit: str | None,
) -> tuple[float, float]:
    if unit in row.units:
        return row.units[unit]
    if unit:
        wrong = f"{unit!r} is no unit of this quantity"
        raise InputError(field, typed, wrong, row.examples)
    if "in" in row.units and found["plain"] is None:
        return row.units["in"]
    if bare_unit is not None:
        return row.units[_squeezed(bare_unit)]
    if row.unitless:
        return (1.0, 0.0)
    raise InputError(field, typed, "the unit is missing", row.examples)


def _canonical(row: Dimension, unit: str) -> str:
    """The first name of the same size: " is in, ' is ft."""
    return next((name for name in row.chain if row.units[name] == row.units.get(unit)), unit)


def _following(row: Dimension, before: str) -> str:
    place = row.chain.index(before) + 1 if before in row.chain else len(row.chain)
    return row.chain[place] if place < len(row.chain) else ""


def _check_chain(
    field: str, typed: str, row: Dimension, before: str, unit: str, number: float
) -> None:
    expected = _following(row, before)
    if not expected or row.units.get(unit) != row.units[expected]:
        raise InputError(field, typed, "two quantities in one box", row.examples)
    most = row.units[before][0] / row.units[expected][0]
    if number >= most:
        raise InputError(
            field, typed, f"{number:g} {expected} after {before}", f"less than {most:g} {expected}"
        )


def _printed(value: float, row: Dimension, unit: str, step: float) -> str:
    factor, offset = (1.0, 0.0) if unit == row.own else row.units[_squeezed(unit)]
    amount = (value - offset) / factor
    rounded = round(amount / step) * step
    about = "" if abs(amount - rounded) <= 1e-6 * max(step, abs(amount)) else "about "
    if unit == "in":
        return f"{about}{_sixteenths(rounded)} in"
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    figure = f"{rounded:.{digits}f}"
    figure = figure.rstrip("0").rstrip(".") if "." in figure else figure
    return f"{about}{'0' if figure == '-0' else figure}{' ' + unit if unit else ''}"


def _sixteenths(inches: float) -> str:
    parts = round(abs(inches) * INCH_PARTS)
    sign = "-" if inches < 0 and parts else ""
    whole, top = divmod(parts, INCH_PARTS)
    if not top:
        return f"{sign}{whole}"
    shared = math.gcd(top, INCH_PARTS)
    fraction = f"{top // shared}/{INCH_PARTS // shared}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"
