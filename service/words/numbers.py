"""Numbers with their unit and instants, written for a reader (Babel: digits, names of days)."""

from datetime import datetime
from decimal import Decimal

from babel import Locale
from babel.dates import format_datetime
from babel.numbers import format_decimal

from models.facts.conversions import DIMENSIONS
from service.words.reader import Reader

NO_HOUR = "not within the plan"
# how the end of a name says its unit, and the dimension that turns it into US units
UNITS: dict[str, tuple[str, str]] = {
    "_kg_m2h": ("kg/m2h", ""),
    "_kg_m3": ("kg/m3", "density_kg_m3"),
    "_m2K_W": ("m2K/W", "resistance_m2K_W"),
    "_m2_l": ("m2/l", "coverage_m2_l"),
    "_m_s": ("m/s", "speed_m_s"),
    "_MPa": ("MPa", "stress_MPa"),
    "_mm_h": ("mm/h", ""),
    "_min": ("min", ""),
    "_pct": ("%", ""),
    "_mm": ("mm", "length_mm"),
    "_m2": ("m2", "area_m2"),
    "_kg": ("kg", "mass_kg"),
    "_C": ("C", "temperature_C"),
    "_K": ("K", "temperature_difference_K"),
    "_g": ("g", "mass_g"),
    "_l": ("l", "volume_l"),
    "_h": ("h", ""),
    "_d": ("d", ""),
    "_y": ("y", ""),
    "_J_mol": ("J/mol", ""),
    "_kJ_mol": ("kJ/mol", ""),
}
PATTERNS = {"": "EEE d MMM HH:mm", "time": "HH:mm", "day": "EEE d MMM", "date": "d MMMM yyyy"}


def quantity(name: str, value: float, spec: str, reader: Reader) -> str:
    """A number as a template asks for it: decimals or `g`, `%`, `n` without its unit.

    `days` : of hours: hours, from two days on in days
    """
    if spec == "days":
        days = value >= 48.0
        return quantity("age_d" if days else "age_h", value / 24.0 if days else value, "3g", reader)
    plain, spec = spec.endswith("n"), spec.removesuffix("n")
    if spec.startswith("%"):
        return f"{_written(f'{100 * value:.{spec[1:] or 0}f}', reader)}%"
    suffix = next((end for end in UNITS if name.endswith(end)), "")
    unit, dimension = UNITS.get(suffix, ("", ""))
    if reader.units == "us" and dimension:
        row = DIMENSIONS[dimension]
        wanted = row.shown[1][0].lower().replace("degf", "f")
        factor, offset = row.units[wanted]
        value, unit = (value - offset) / factor, row.shown[1][0].removeprefix("deg")
    if spec.endswith("g") or not spec:
        digits = spec.removesuffix("g")
        shown = f"{value:.{digits}g}" if digits else f"{value:g}"
    else:
        shown = f"{value:z.{spec}f}"
    return f"{_written(shown, reader)}{'' if plain or not unit else ' ' + unit}"


def instant(at: datetime | None, spec: str, reader: Reader) -> str:
    """`Thu 15 Oct 07:30` on the clock of the place; of a doubled hour with its offset."""
    if at is None:
        return NO_HOUR
    local = reader.clock(at)
    if spec == "near":
        today = reader.now is not None and reader.clock(reader.now).date() == local.date()
        return instant(at, "time", reader) + which(local) if today else instant(at, "", reader)
    text = format_datetime(local, PATTERNS[spec], locale=reader.language)
    return f"{text}{which(local)}" if spec == "" else text


def which(local: datetime) -> str:
    """` CDT`, or ` +1030` without letters, of a time that a clock shows twice; else nothing.

    local : an instant taken to its zone, so that it is never in an hour that the clocks leave out
    """
    if local.replace(fold=1 - local.fold).utcoffset() == local.utcoffset():
        return ""
    return f" {local:%Z}" if f"{local:%Z}".isalpha() else f" {local:%z}"


def _written(digits: str, reader: Reader) -> str:
    """Digits as the language writes them, no more and no fewer than are there."""
    if not digits.lstrip("-").replace(".", "").isdigit():  # infinite, or with an exponent
        return digits
    number, places = Decimal(digits), len(digits.partition(".")[2])
    pattern = "0" + ("." + "0" * places if places else "")
    return format_decimal(number, format=pattern, locale=Locale.parse(reader.language))
