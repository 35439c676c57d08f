"""A quantity with its unit as its reader measures, in as few digits as are honest."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from babel.numbers import format_decimal

from models.facts.conversions import DIMENSIONS
from models.units import GRAVITY_M_S2
from service.words.reader import UNITS, Reader

INCH_PARTS = 16  # of a rule
FEET_FROM_IN = 72.0  # longer lengths are told in feet and inches
GROUPED_FROM = {"en-US": 1000, "en-GB": 10_000}  # whose thousands are parted


@dataclass(frozen=True)
class Unit:
    """How a quantity is written from `least` on, in this unit.

    name : of the unit in DIMENSIONS, nothing for the dimension's own; sign : as it is written;
    rounded : the amount in few digits
    """

    sign: str
    name: str = ""
    rounded: Callable[[float], str] = lambda amount: figures(amount, 3, 1)
    least: float = 0.0  # in the dimension's own unit
    factor: float = 1.0  # own = amount x factor, of a unit that nobody types


def figures(amount: float, significant: int, decimals: int) -> str:
    """So many significant figures of what lies behind the point, and no more decimals than told;
    nought behind the point is left away."""
    if amount == 0:
        return "0"
    magnitude = math.floor(math.log10(abs(amount)))
    places = min(decimals, max(0, significant - 1 - magnitude))
    shown = f"{amount:z.{places}f}"
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


def whole(amount: float) -> str:
    return f"{amount:z.0f}"


def tenths(amount: float) -> str:
    return figures(amount, 9, 1)


def hundredths(amount: float) -> str:
    return figures(amount, 9, 2)


def psi(amount: float) -> str:
    """To 50 from a thousand on, to 10 from a hundred on: no test tells finer."""
    step = 50 if abs(amount) >= 975 else 10 if abs(amount) >= 95 else 1
    return whole(round(amount / step) * step)


def inches(amount: float) -> str:
    """`7 ft 2 5/8`, `55 1/8`, `3/8`: to a sixteenth, as a rule is divided."""
    parts = round(abs(amount) * INCH_PARTS)
    sign = "-" if amount < 0 and parts else ""
    feet, parts = divmod(parts, 12 * INCH_PARTS) if abs(amount) >= FEET_FROM_IN else (0, parts)
    number, top = divmod(parts, INCH_PARTS)
    shared = math.gcd(top, INCH_PARTS)
    words = [f"{feet} ft"] if feet else []
    words += [f"{number}"] if number or not (top or feet) else []
    words += [f"{top // shared}/{INCH_PARTS // shared}"] if top else []
    return sign + " ".join(words)


@dataclass(frozen=True)
class Measure:
    """One dimension: the kind of unit that governs it, and its units in SI and in US customary."""

    kind: str
    si: tuple[Unit, ...]
    us: tuple[Unit, ...] = ()


_GALLON_L = DIMENSIONS["volume_l"].units["gal"][0]
_POUND_KG = DIMENSIONS["mass_kg"].units["lb"][0]
_FOOT2_M2 = DIMENSIONS["area_m2"].units["ft2"][0]

MEASURES: dict[str, Measure] = {
    "temperature_C": Measure("temperature", (Unit("°C", "", tenths),), (Unit("°F", "f", whole),)),
    "temperature_difference_K": Measure(
        "temperature", (Unit("°C", "", tenths),), (Unit("°F", "f", whole),)
    ),
    "length_mm": Measure(
        "length", (Unit("mm", "", lambda mm: figures(mm, 3, 1)),), (Unit("in", "in", inches),)
    ),
    "height_m": Measure("length", (Unit("m", "", whole),), (Unit("ft", "ft", whole),)),
    "area_m2": Measure(
        "length",
        (Unit("m²", "", lambda m2: figures(m2, 3, 2)),),
        (Unit("sq ft", "ft2"),),
    ),
    "speed_m_s": Measure("length", (Unit("m/s", "", tenths),), (Unit("mph", "mph", whole),)),
    "mass_kg": Measure(
        "mass",
        (Unit("kg", least=1.0), Unit("g", "g", whole)),
        (
            Unit("lb", "lb", whole, least=20 * _POUND_KG),
            Unit("lb", "lb", tenths, least=_POUND_KG),
            Unit("oz", "oz", tenths),
        ),
    ),
    "scale_kg": Measure(  # of what is weighed into a batch
        "mass",
        (Unit("kg", least=1.0, rounded=hundredths), Unit("g", "g", tenths)),
        (Unit("lb", "lb", hundredths, least=_POUND_KG), Unit("oz", "oz", hundredths)),
    ),
    "mass_g": Measure("mass", (Unit("g", "", tenths),), (Unit("oz", "oz", hundredths),)),
    "volume_l": Measure(  # of what is poured from a can
        "volume",
        (Unit("L", least=1.0), Unit("ml", "ml", lambda ml: figures(ml, 2, 1))),
        (
            Unit("gal", "gal", least=_GALLON_L),
            Unit("qt", "qt", tenths, least=_GALLON_L / 8),
            Unit("fl oz", "floz", whole, least=_GALLON_L / 64),
            Unit("fl oz", "floz", tenths),
        ),
    ),
    "concrete_l": Measure(
        "volume", (Unit("L"),), (Unit("cu ft", "ft3", lambda ft3: figures(ft3, 2, 2)),)
    ),
    "stress_MPa": Measure(
        "strength",
        (Unit("MPa", least=1.0), Unit("MPa", "", hundredths)),
        (Unit("psi", "psi", psi),),
    ),
    "pressure_kPa": Measure(
        "strength",
        (Unit("kPa", "", tenths),),
        (Unit("psf", "", whole, factor=_POUND_KG * GRAVITY_M_S2 / _FOOT2_M2 / 1e3),),
    ),
    "bow_mm": Measure(  # a sixteenth is more than may show
        "length",
        (Unit("mm", "", tenths),),
        (Unit("in", "", lambda inch: figures(inch, 9, 2), factor=25.4),),
    ),
    "apart_mm": Measure(  # as a rule is laid on, never wider than worked out
        "length",
        (Unit("mm", "", lambda mm: whole(mm // 10 * 10 if mm >= 10 else mm)),),
        (
            Unit(
                "in", "", lambda inch: inches(inch // 0.5 / 2 if inch >= 0.5 else inch), factor=25.4
            ),
        ),
    ),
    "density_kg_m3": Measure(
        "mass", (Unit("kg/m³", "", whole),), (Unit("lb/cu ft", "pcf", whole),)
    ),
    "dose_kg_m3": Measure(  # of what is little in a cubic metre
        "mass", (Unit("kg/m³", "", tenths),), (Unit("lb/cu yd", "lb/yd3", tenths),)
    ),
    "coverage_m2_l": Measure("volume", (Unit("m²/L"),), (Unit("sq ft/gal", "ft2/gal", whole),)),
    "resistance_m2K_W": Measure(
        "temperature", (Unit("m²K/W", "", hundredths),), (Unit("hft²°F/Btu", "hft2f/btu", tenths),)
    ),
    "heat_kJ_kg": Measure("mass", (Unit("kJ/kg", "", whole),), (Unit("Btu/lb", "btu/lb", whole),)),
    "rain_mm_h": Measure(
        "length", (Unit("mm/h"),), (Unit("in/h", rounded=hundredths, factor=25.4),)
    ),
    "evaporation_kg_m2h": Measure(
        "mass",
        (Unit("kg/m²h", "", hundredths),),
        (Unit("lb/sq ft/h", "", hundredths, factor=_POUND_KG / _FOOT2_M2),),
    ),
}
# dimensions that are another one in what counts for its units
SAME = {"scale_kg": "mass_kg", "concrete_l": "volume_l", "dose_kg_m3": "density_kg_m3"}


def measure(value: float | None, dimension: str, reader: Reader, *, other: bool = False) -> str:
    """`60 mm` or `2 3/8 in`; a difference of temperature in degrees; nothing of None.

    value in the unit that the dimension's name ends in; `concrete_l` is a volume of concrete
    other : in the unit that the reader did not choose
    """
    if value is None:
        return ""
    row = MEASURES[dimension]
    customary = reader.units.customary(row.kind) != other
    units = row.us if customary else row.si
    unit = next((one for one in units if abs(value) >= one.least), units[-1])
    if not math.isfinite(value):
        return f"{value:g} {unit.sign}"
    factor, offset = unit.factor, 0.0
    if unit.name:
        factor, offset = DIMENSIONS[SAME.get(dimension, dimension)].units[unit.name]
    return f"{written(unit.rounded((value - offset) / factor), reader)} {unit.sign}"


def bare(value: float | None, dimension: str, reader: Reader) -> str:
    """The same without its unit."""
    return measure(value, dimension, reader).removesuffix(f" {unit_of(dimension, reader)}")


def unit_of(dimension: str, reader: Reader) -> str:
    """The sign of the unit of a bare number, as it stands beside a box or over a column."""
    row = MEASURES[dimension]
    units = row.us if reader.units.customary(row.kind) else row.si
    return units[0].sign


def written(digits: str, reader: Reader) -> str:
    """Digits as the language writes them, no more and no fewer than are there."""
    return _written(digits, GROUPED_FROM[reader.language], reader.locale)


@lru_cache(maxsize=20_000)
def _written(digits: str, grouped_from: float, locale: str) -> str:
    if not digits.lstrip("-").replace(".", "", 1).isdigit():  # a fraction, infinite, an exponent
        return digits
    number, places = Decimal(digits), len(digits.partition(".")[2])
    head = "#,##0" if abs(number) >= grouped_from else "0"
    pattern = head + ("." + "0" * places if places else "")
    return format_decimal(number, format=pattern, locale=locale)


assert {one.kind for one in MEASURES.values()} <= set(UNITS)
