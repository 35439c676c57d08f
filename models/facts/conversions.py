"""Units that may be typed, by kind of quantity, and the exact definitions behind them. Rows only.

Source: NIST_SP_811 (inch, foot, yard, pound, US gallon, Btu of the International Table, calorie
of 4.184 J, nautical mile); psi and pound-force from standard gravity.
"""

from dataclasses import dataclass

_FOOT_M = 0.3048  # exact
_POUND_KG = 0.45359237  # exact
OUNCE_G = _POUND_KG * 1000 / 16  # exact
_GALLON_L = 231 * 0.0254**3 * 1000  # US liquid gallon, 231 cubic inches, exact
_PSI_MPA = _POUND_KG * 9.80665 / 0.0254**2 / 1e6
_BTU_KJ = 1.05505585262  # International Table, exact
_FAHRENHEIT = (5 / 9, -160 / 9)  # degC = F x 5/9 - 160/9


@dataclass(frozen=True)
class Dimension:
    """One kind of quantity: its own unit, the units that may be typed, and how it is shown.

    units : name in lower case -> (factor, offset), own = typed x factor + offset
    shown : (unit, step) in metric and in US customary units; the first unit is the dimension's own
    unitless : a text without a unit is complete
    """

    units: dict[str, tuple[float, float]]
    examples: str
    shown: tuple[tuple[str, float], tuple[str, float]]
    unitless: bool = False
    chain: tuple[str, ...] = ()  # units that may follow one another, largest first

    @property
    def own(self) -> str:
        return self.shown[0][0]


def _named(*rows: tuple[str, float]) -> dict[str, tuple[float, float]]:
    """Rows of "name name name", factor."""
    return {name: (factor, 0.0) for names, factor in rows for name in names.split()}


_MASS = _named(
    ("kg", 1.0), ("g", 1e-3), ("t tonne", 1000.0), ("lb lbs", _POUND_KG), ("oz", _POUND_KG / 16)
)
_SCALE = {name: (1e3 * factor, offset) for name, (factor, offset) in _MASS.items()}
_VOLUME = _named(
    ("l litre litres liter liters dm3", 1.0),
    ("ml cm3", 1e-3),
    ("m3", 1000.0),
    ("gal usgal", _GALLON_L),
    ("qt", _GALLON_L / 4),
    ("pt", _GALLON_L / 8),
    ("cup cups", _GALLON_L / 16),
    ("floz", _GALLON_L / 128),
    ("in3 cuin", 0.0254**3 * 1000),
    ("ft3 cuft", _FOOT_M**3 * 1000),
    ("yd3 cuyd", (3 * _FOOT_M) ** 3 * 1000),
    ("impgal", 4.54609),
)
_LENGTH = _named(
    ("mm", 1.0),
    ("cm", 10.0),
    ("m", 1000.0),
    ('in " inch inches', 25.4),
    ("ft ' foot feet", 304.8),
    ("yd yard yards", 914.4),
)
_TIME = _named(
    ("h hr hrs hour hours", 1.0),
    ("min minute minutes", 1 / 60),
    ("d day days", 24.0),
    ("s", 1 / 3600),
    ("week weeks", 168.0),
)
_CELSIUS = dict.fromkeys(("c", "°c", "degc", "celsius"), (1.0, 0.0))
_FAHRENHEITS = ("f", "°f", "degf", "fahrenheit")
_KELVIN_STEPS = dict.fromkeys(("k", "c", "°c", "degc"), (1.0, 0.0))

DIMENSIONS: dict[str, Dimension] = {
    "length_mm": Dimension(
        _LENGTH,
        "38 mm, 1 1/2 in, 5' 6\" or 0,5 m",
        (("mm", 0.1), ("in", 1 / 16)),
        chain=("ft", "in"),
    ),
    "height_m": Dimension(
        {name: (factor / 1000.0, 0.0) for name, (factor, _) in _LENGTH.items()},
        "320 m or 1050 ft",
        (("m", 1.0), ("ft", 1.0)),
    ),
    "area_m2": Dimension(
        _named(("m2", 1.0), ("ft2 sqft", _FOOT_M**2), ("cm2", 1e-4)),
        "1.5 m2 or 16 ft2",
        (("m2", 0.01), ("ft2", 0.1)),
    ),
    "temperature_C": Dimension(
        {**_CELSIUS, **dict.fromkeys(_FAHRENHEITS, _FAHRENHEIT), "k": (1.0, -273.15)},
        "13 C or 55 F",
        (("degC", 0.1), ("degF", 0.1)),
    ),
    "temperature_difference_K": Dimension(
        {**_KELVIN_STEPS, **dict.fromkeys(_FAHRENHEITS, (5 / 9, 0.0))},
        "3 K or 5 F",
        (("K", 0.1), ("degF", 0.1)),
    ),
    "stress_MPa": Dimension(
        _named(
            ("mpa n/mm2", 1.0),
            ("kpa", 1e-3),
            ("gpa", 1e3),
            ("psi lb/in2", _PSI_MPA),
            ("ksi", 1000 * _PSI_MPA),
            ("bar", 0.1),
        ),
        "28 MPa, 28 N/mm2 or 4000 psi",
        (("MPa", 0.01), ("psi", 1.0)),
    ),
    "mass_kg": Dimension(
        _MASS, "36.3 kg or 80 lb", (("kg", 0.01), ("lb", 0.1)), chain=("lb", "oz")
    ),
    "mass_g": Dimension(_SCALE, "1840 g or 64.9 oz", (("g", 0.1), ("oz", 0.01))),
    "volume_l": Dimension(
        _VOLUME, "17 l, 2.5 qt or 0.60 ft3", (("l", 0.01), ("qt", 0.01)), chain=("gal", "qt")
    ),
    "time_h": Dimension(
        _TIME, "36 h, 90 min or 3 d", (("h", 0.01), ("h", 0.01)), chain=("d", "h", "min")
    ),
    "time_d": Dimension(
        {name: (factor / 24.0, 0.0) for name, (factor, _) in _TIME.items()},
        "28, 28 d or 4 weeks",
        (("d", 0.1), ("d", 0.1)),
        unitless=True,
        chain=("d", "h", "min"),
    ),
    "speed_m_s": Dimension(
        _named(
            ("m/s", 1.0),
            ("km/h kmh kph", 1 / 3.6),
            ("mph mi/h", 0.44704),
            ("kn kt knot knots", 1852 / 3600),
            ("ft/s", _FOOT_M),
        ),
        "3 m/s, 12 mph or 20 km/h",
        (("m/s", 0.1), ("mph", 0.1)),
    ),
    "resistance_m2K_W": Dimension(
        _named(
            ("m2k/w", 1.0),
            (
                "hft2f/btu fft2h/btu ft2hf/btu hft2°f/btu ft2°fh/btu",
                _FOOT_M**2 * 5 / 9 / (_BTU_KJ * 1000 / 3600),
            ),
        ),
        "0.5 m2K/W or 3 hft2F/Btu",
        (("m2K/W", 0.01), ("hft2F/Btu", 0.1)),
    ),
    "coverage_m2_l": Dimension(
        _named(("m2/l", 1.0), ("ft2/gal sqft/gal", _FOOT_M**2 / _GALLON_L)),
        "10 m2/l or 400 ft2/gal",
        (("m2/l", 0.1), ("ft2/gal", 1.0)),
    ),
    "density_kg_m3": Dimension(
        _named(
            ("kg/m3 g/l", 1.0),
            ("g/cm3 kg/l t/m3", 1000.0),
            ("lb/ft3 lb/cuft pcf", _POUND_KG / _FOOT_M**3),
            ("lb/yd3 lb/cuyd", _POUND_KG / (3 * _FOOT_M) ** 3),
        ),
        "2300 kg/m3 or 145 lb/ft3",
        (("kg/m3", 1.0), ("lb/ft3", 0.1)),
    ),
    "heat_kJ_kg": Dimension(
        _named(("kj/kg j/g", 1.0), ("btu/lb", 2.326), ("cal/g kcal/kg", 4.184)),
        "380 kJ/kg or 163 Btu/lb",
        (("kJ/kg", 1.0), ("Btu/lb", 0.1)),
    ),
    "energy_kJ_mol": Dimension(
        _named(("kj/mol", 1.0), ("j/mol", 1e-3), ("kcal/mol", 4.184)),
        "40 kJ/mol or 40000 J/mol",
        (("kJ/mol", 0.1), ("kcal/mol", 0.01)),
    ),
    "fineness_m2_kg": Dimension(
        _named(("m2/kg", 1.0), ("cm2/g", 0.1)),
        "370 m2/kg or 3700 cm2/g",
        (("m2/kg", 1.0), ("cm2/g", 10.0)),
    ),
    "angle_deg": Dimension(
        _named(("deg ° degree degrees", 1.0)),
        "41.5 or 41.5 deg",
        (("deg", 0.0001), ("deg", 0.0001)),
        unitless=True,
    ),
    "fraction": Dimension(
        _named(("%", 0.01)), "0.45 or 45 %", (("", 0.001), ("%", 0.1)), unitless=True
    ),
    "percent": Dimension(
        _named(("% percent", 1.0)), "60 or 60 %", (("%", 0.1), ("%", 0.1)), unitless=True
    ),
    "count": Dimension({}, "2 or 1 1/2", (("", 0.01), ("", 0.01)), unitless=True),
}
