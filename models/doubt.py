"""A figure that would fit much better in the other unit: degF for degC, inches for millimetres.

A key that names its unit keeps it, and no figure is changed here: it is asked about.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models import quantity
from models.air.normals import normal
from models.air.place import Site
from models.air.series import AirSeries
from models.errors import Unknown
from models.facts.conversions import OUNCE_G
from models.facts.handling import USUAL_MM
from models.message import Message, Value

CODE = "unit_doubtful"
FAR_SDS, NEAR_SDS = 3.0, 1.5  # beyond the first always asked, from the second if another unit fits
BETTER = 1 / 3  # another unit fits where the figure then lies this much nearer
INCH_MM = 25.4
DRY_AIR_PCT = 15.0  # outside of deserts and much heated rooms air holds more. OWN_JUDGEMENT
# a tile against what it weighed before: it can lose little more than its mixing water (under a
# tenth of its mass) and take up less. OWN_JUDGEMENT
TILE_KEEPS = (0.85, 1.1)
AIR_SD_K = 3.0  # a yard against a forecast of it, OWN_JUDGEMENT
WINDOW_H = (12, 36)  # hours of the record before and after an instant that say what is likely there
# by what is told: how far under and over the air around it may lie [K, K], and what is never too
# warm [degC]. Concrete warms itself, mixes are warmed on purpose. OWN_JUDGEMENT
ROOM, OUTDOORS = (2.0, 12.0), (1.0, 4.0)
LEEWAY: dict[str, tuple[float, float, float]] = {
    "typed": (0.0, 0.0, -99.0),
    "air": (*OUTDOORS, -99.0),
    "air-min-max": (*OUTDOORS, -99.0),
    "room": (*ROOM, 22.0),
    "concrete": (2.0, 25.0, 20.0),
    "surface": (5.0, 30.0, 20.0),
    "placed": (2.0, 10.0, 25.0),
}


@dataclass(frozen=True)
class Expected:
    """What a temperature is held against: from, to [degC], how far outside is still common [K]."""

    low_C: float
    high_C: float
    sd_K: float
    against: Message

    def off(self, value_C: float) -> float:
        """Deviations outside of the span, 0 within."""
        return max(self.low_C - value_C, value_C - self.high_C, 0.0) / self.sd_K

    def of(self, kind: str, site: Site | None = None) -> "Expected":
        """The same for what is told of a kind, a key of LEEWAY, at a place."""
        if site is not None and site.is_room and kind.startswith("air"):
            kind = "room"
        under, over, least = LEEWAY[kind]
        high = max(self.high_C + over, least)
        if site is not None and site.setpoint_C is not None and kind != "typed":
            high = max(high, site.setpoint_C + over)
        return replace(self, low_C=self.low_C - under, high_C=high)


@dataclass(frozen=True)
class Doubt:
    """A value to be asked about; `other`: in the unit of the field, had the other been meant."""

    field: str
    value: float
    dimension: str
    other: float | None
    meant: str  # the same figure in the other unit: 34 degF
    against: Message

    @property
    def other_unit(self) -> str | None:
        return self.meant.split()[-1] if self.meant else None

    @property
    def question(self) -> Message:
        """What is asked, without the name of the field: for beside its box."""
        shown = quantity.show(self.value, self.dimension)
        values: dict[str, Value] = {"shown": shown, "against": self.against}
        if self.other is None:
            return Message("figure_doubtful", values)
        other = quantity.show(self.other, self.dimension).split(" = ")[0].removeprefix("about ")
        return Message(CODE, {**values, "meant": self.meant, "other": other})

    @property
    def message(self) -> Message:
        return Message("doubt_of_field", {"field": self.field, "question": self.question})


def expected(
    at: datetime, position: tuple[float, float] | None, air: AirSeries | Unknown | None = None
) -> tuple[Expected, ...]:
    """The weather at hand for an instant, and what the place has at that time of the year.

    position : latitude and longitude [degrees]; None where nobody knows them
    """
    near = forecast(air, at) if isinstance(air, AirSeries) and not air.typical else None
    usual = None if position is None else season(*position, at)
    return tuple(one for one in (near, usual) if one is not None)


def season(latitude: float, longitude: float, at: datetime) -> Expected:
    """What the place can have at that time of the year."""
    usual = normal(latitude, longitude, at)
    low, high = usual.mean_C - usual.half_day_K, usual.mean_C + usual.half_day_K
    against = Message("against_season", {"low_C": low, "high_C": high})
    return Expected(low, high, usual.sd_K, against)


def forecast(air: AirSeries, at: datetime) -> Expected | None:
    """What the weather at hand says of the hours around an instant; None where it says nothing."""
    row = round(air.hour_of(at))
    near = air.air_C[max(row - WINDOW_H[0], 0) : max(row + WINDOW_H[1], 0)]
    near = near[np.isfinite(near)]
    if not len(near):
        return None
    low, high = float(near.min()), float(near.max())
    against = Message("against_weather", {"low_C": low, "high_C": high, "provider": air.source})
    return Expected(low, high, AIR_SD_K, against)


def record(field: str, air: AirSeries, usual: Sequence[Expected]) -> Doubt | None:
    """Whether a whole record of the air is to be asked about, held against the season."""
    known = air.air_C[np.isfinite(air.air_C)]
    if not len(known):
        return None
    return warmth(field, float(np.median(known)), usual)


def warmth(
    field: str,
    value_C: float,
    expectations: Iterable[Expected],
    *,
    measured: bool = False,
    typed_F: bool = False,
    named: bool = False,
) -> Doubt | None:
    """Whether a temperature is to be asked about; expectations: the best knowledge first.

    measured : a reading, which may lie far off: asked about only where the other unit fits better
    named : the unit was named beside the figure: colder than expected is then taken as it is
    typed_F : the figure was typed in degF, so that degC is what may have been meant
    """
    figure = 1.8 * value_C + 32.0 if typed_F else value_C
    other = figure if typed_F else (figure - 32.0) / 1.8
    meant = f"{figure:.4g} {'degC' if typed_F else 'degF'}"
    for expected in expectations:
        off = expected.off(value_C)
        better = expected.off(other) < BETTER * off
        if off <= NEAR_SDS or (named and value_C < expected.low_C):
            continue
        if not better and (measured or off <= FAR_SDS):
            continue
        return Doubt(
            field,
            value_C,
            "temperature_C",
            other if better else None,
            meant if better else "",
            expected.against,
        )
    return None


def length(field: str, value_mm: float) -> Doubt | None:
    """Whether a measure of a piece is to be asked about; the last part of `field` names it."""
    usual = USUAL_MM.get(field.rpartition(".")[2])
    if usual is None or usual[0] <= value_mm <= usual[1]:
        return None
    for factor, meant in ((INCH_MM, "in"), (1 / INCH_MM, "mm")):
        other = value_mm * factor
        if usual[0] <= other <= usual[1]:
            figure = value_mm if meant == "in" else other
            against = Message("against_pieces", {"low_mm": usual[0], "high_mm": usual[1]})
            return Doubt(field, value_mm, "length_mm", other, f"{figure:.4g} {meant}", against)
    return None


def humidity(field: str, rh_pct: float) -> Doubt | None:
    """Relative humidity of the air [%] that is so low that a figure may be missing of it."""
    if rh_pct >= DRY_AIR_PCT:
        return None
    return Doubt(
        field, rh_pct, "percent", None, "", Message("against_air", {"least_pct": DRY_AIR_PCT})
    )


def tile(field: str, mass_g: float, last_g: float) -> Doubt | None:
    """A witness tile [g] that weighs what it cannot beside the last time."""

    def fits(mass: float) -> bool:
        return TILE_KEEPS[0] <= mass / last_g <= TILE_KEEPS[1]

    if fits(mass_g):
        return None
    against = Message("against_last_tile", {"last_g": last_g})
    for other, meant in (
        (mass_g * OUNCE_G, f"{mass_g:.4g} oz"),
        (mass_g / OUNCE_G, f"{mass_g / OUNCE_G:.4g} g"),
    ):
        if fits(other):
            return Doubt(field, mass_g, "mass_g", other, meant, against)
    return Doubt(field, mass_g, "mass_g", None, "", against)
