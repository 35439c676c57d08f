"""Numbers of sentences and chances, written for a reader."""

import math

from service.words.measures import MEASURES, bare, measure, written
from service.words.reader import Reader

# how the end of a name says its unit, and the dimension that turns it into the reader's
UNITS: dict[str, tuple[str, str]] = {
    "_kg_m2h": ("kg/m²h", "evaporation_kg_m2h"),
    "_kg_m3": ("kg/m³", "density_kg_m3"),
    "_m2K_W": ("m²K/W", "resistance_m2K_W"),
    "_m2_l": ("m²/L", "coverage_m2_l"),
    "_m_s": ("m/s", "speed_m_s"),
    "_MPa": ("MPa", "stress_MPa"),
    "_mm_h": ("mm/h", "rain_mm_h"),
    "_min": ("min", ""),
    "_pct": ("%", ""),
    "_kPa": ("kPa", "pressure_kPa"),
    "_bow_mm": ("mm", "bow_mm"),
    "_apart_mm": ("mm", "apart_mm"),
    "_mm": ("mm", "length_mm"),
    "_m2": ("m²", "area_m2"),
    "_kg": ("kg", "mass_kg"),
    "_C": ("°C", "temperature_C"),
    "_K": ("°C", "temperature_difference_K"),
    "_g": ("g", "mass_g"),
    "_l": ("L", "volume_l"),
    "_h": ("h", ""),
    "_d": ("d", ""),
    "_y": ("y", ""),
    "_J_mol": ("J/mol", ""),
    "_kJ_mol": ("kJ/mol", ""),
}
# the chances that are told, as `1 in 50`; a half is even
ODDS = ((0.02, "1 in 50"), (0.05, "1 in 20"), (0.1, "1 in 10"), (0.2, "1 in 5"), (1 / 3, "1 in 3"))
MIRRORED = ((2 / 3, "2 in 3"), (0.8, "4 in 5"), (0.9, "9 in 10"), (0.95, "19 in 20"))
CHANCES = (*ODDS, (0.5, "even"), *MIRRORED, (0.98, "49 in 50"))


def chance(probability: float, _reader: Reader | None = None, *, hoped: bool = False) -> str:
    """A chance in words and few steps: the nearest of them, by its odds.

    Under 1 in 50 "very unlikely", over 49 in 50 "almost certain": an ensemble knows no more.
    hoped : of what one hopes for: never the step above it
    """
    if probability < CHANCES[0][0]:
        return "very unlikely"
    if probability > CHANCES[-1][0]:
        return "almost certain"
    steps = [one for one in CHANCES if not hoped or one[0] <= probability + 1e-9]
    return min(steps, key=lambda one: abs(_log_odds(one[0]) - _log_odds(probability)))[1]


def _log_odds(probability: float) -> float:
    return math.log(probability / (1.0 - probability))


def quantity(name: str, value: float, spec: str, reader: Reader) -> str:
    """A number as a template asks for it: decimals or `g`, `%`, `n` without its unit.

    `days` : of hours: hours, from two days on in days; `odds` : a chance in words, `hope`
    of what one hopes for
    """
    if spec in ("odds", "hope"):
        odds = chance(value, hoped=spec == "hope")
        return "even odds" if odds == "even" else odds
    if spec == "days":
        days = value >= 48.0
        return quantity("age_d" if days else "age_h", value / 24.0 if days else value, "3g", reader)
    plain, spec = spec.endswith("n"), spec.removesuffix("n")
    if spec.startswith("%"):
        return f"{written(f'{100 * value:.{spec[1:] or 0}f}', reader)}%"
    suffix = next((end for end in UNITS if name.endswith(end)), "")
    unit, dimension = UNITS.get(suffix, ("", ""))
    if suffix in ("_l", "_apart_mm") or (
        dimension and reader.units.customary(MEASURES[dimension].kind)
    ):
        return (bare if plain else measure)(value, dimension, reader)
    if spec.endswith("g") or not spec:
        digits = spec.removesuffix("g")
        shown = f"{value:.{digits}g}" if digits else f"{value:g}"
    else:
        shown = f"{value:z.{spec}f}"
    return f"{written(shown, reader)}{'' if plain or not unit else ' ' + unit}"
