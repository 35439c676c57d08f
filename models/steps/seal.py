"""Through which hours the air and the face hold for a coat."""

from dataclasses import dataclass

import numpy as np

from models.air import psychrometrics
from models.facts.air import WET_MM_H
from models.facts.sealers import (
    DOUBLES_PER_K,
    FILM_STOPS_C,
    FIRST_COAT_H,
    HOT_FACE_C,
    LEAST_DRYING_FRACTION,
    RECOAT_WINDOWS,
    REFERENCE_C,
    SUN_ON_FACE_W_M2,
    Sheet,
)
from models.steps.opening import Trajectory, added_up, between
from models.units import Array, Mask

REFERENCE_VPD_HPA = float(psychrometrics.saturation_pressure(REFERENCE_C)) * 0.5
ROUNDING = 1e-9  # a limit reached to within this is reached


@dataclass(frozen=True)
class LocalConditions:
    """The air and the face on a grid of hours from placing, (rows, members).

    face_C : [degC] of the coldest face; sunlit_C : [degC] of the one that gets most sun
    """

    hour: Array
    face_C: Array
    dew_point_C: Array
    rh: Array
    rain_mm: Array
    sun_W_m2: Array
    sunlit_C: Array

    @property
    def step_h(self) -> float:
        return float(self.hour[1] - self.hour[0]) if len(self.hour) > 1 else 1.0


def local_conditions(trajectory: Trajectory, hour: Array) -> LocalConditions:
    """What is around the piece at given hours; rain and sun are those of the hour they lie in.

    hour : (rows,) [h] from placing
    Source: definition.
    """
    last = len(trajectory.hour) - 1
    at = np.clip(hour, 0.0, float(last))
    whole = np.minimum(at.astype(int), last)
    nothing = np.zeros_like(trajectory.rain_mm)
    sun = nothing if trajectory.sun_W_m2 is None else trajectory.sun_W_m2
    sunlit_K = nothing if trajectory.sunlit_K is None else trajectory.sunlit_K
    return LocalConditions(
        hour,
        between(trajectory.top_C, at),
        between(trajectory.dew_point_C, at),
        between(trajectory.rh, at),
        trajectory.rain_mm[whole],
        sun[whole],
        between(trajectory.top_C + sunlit_K, at),
    )


def conditions(local: LocalConditions, sheet: Sheet) -> dict[str, Mask]:
    """What must hold from the coat until it has dried, by name, (rows, members) boolean.

    UFC_3_190_06 asks for a face over the dew point "and rising", so that none condenses later. Here
    the spread is asked of every hour until the coat is dry: a face that falls is refused for the
    hour at which it would come too near, and one that stays far over is not refused for falling.

    Source: ISO_8502_4 and UFC_3_190_06 for the spread, MARINE_PAINTING for the humidity;
    TYPICAL_SHEET for the temperatures.
    """
    return {
        "spread": local.face_C - local.dew_point_C >= sheet.dew_margin_K - ROUNDING,
        "humidity": local.rh <= sheet.max_rh + ROUNDING,
        "cold": local.face_C >= sheet.min_C - ROUNDING,
        "hot": local.sunlit_C <= sheet.max_C + ROUNDING,
    }


def may_begin(local: LocalConditions, sheet: Sheet) -> Mask:
    """Whether a coat may be begun: no rain, no sun on the face, the face not hot; boolean.

    Source: UFC_3_190_06 7.4.1, TYPICAL_SHEET; OWN_JUDGEMENT for the sun's limit.
    """
    shade = local.sun_W_m2 <= SUN_ON_FACE_W_M2
    cool = local.sunlit_C <= min(sheet.max_C, HOT_FACE_C) + ROUNDING
    return cool & dry(local) & (hours_holding(shade, local.step_h) >= FIRST_COAT_H)


def dry(local: LocalConditions) -> Mask:
    """Whether no rain falls on it, (rows, members) boolean; less than 0.01 mm/h counts as none.

    Source: OWN_JUDGEMENT.
    """
    return local.rain_mm <= WET_MM_H


def hours_holding(good: Mask, step_h: float) -> Array:
    """For how many hours on a condition holds without a break [h], -1 where it does not.

    good : (rows, members); step_h : [h] between rows. What lies past the last row does not count.
    Source: definition.
    """
    rows = np.arange(len(good))[:, None]
    bad = np.where(good, len(good), rows)
    next_bad = np.minimum.accumulate(bad[::-1], axis=0)[::-1]
    return np.where(good, (next_bad - 1 - rows) * step_h, -1.0)


def drying_rate(local: LocalConditions, sheet: Sheet) -> Array:
    """How fast a coat dries, as a fraction of its rate at 20 degC and 50 %, dimensionless.

    Water leaves by the vapour-pressure deficit between face and air; solvents and reactions double
    per 10 K. A time from the product's own sheet is never shortened.

    Source: UNO_1998 ratios for water; UFGS_09971 for 10 K.
    """
    if sheet.dries == "water":
        es = psychrometrics.saturation_pressure(np.clip(local.face_C, -60, 90))
        deficit = es - psychrometrics.saturation_pressure(local.dew_point_C)
        rate = np.maximum(deficit, 0.0) / REFERENCE_VPD_HPA
    else:
        rate = 2.0 ** ((local.face_C - REFERENCE_C) / DOUBLES_PER_K)
    return np.minimum(rate, 1.0 if "recoat_min_h" in sheet.given else 1.0 / LEAST_DRYING_FRACTION)


def film_rate(face_C: Array) -> Array:
    """How fast a film hardens, as a fraction of its rate at 20 degC, dimensionless.

    face_C : any shape [degC]; none under 4 degC, never faster than the sheet says.
    Source: UFGS_09971 (10 K colder, twice as long), UFC_3_190_06.
    """
    rate = np.minimum(2.0 ** ((face_C - REFERENCE_C) / DOUBLES_PER_K), 1.0)
    return np.where(face_C < FILM_STOPS_C, 0.0, rate)


def hours_until(rate: Array, step_h: float, need_h: float) -> Array:
    """Hours from each row until a rate has added up to `need_h` [h], (rows, members).

    rate : (rows, members) dimensionless, 0 or more; infinite: not within the rows
    Source: definition; straight lines between the rows.
    """
    rows, members = rate.shape
    done = added_up(rate * step_h)
    apart = float(done[-1].max()) + need_h + 1.0  # members one after the other on one line
    line = (done + apart * np.arange(members)).T.ravel()
    wanted = (done + need_h + apart * np.arange(members)).T.ravel()
    upper = np.searchsorted(line, wanted - ROUNDING, side="left")
    column = np.repeat(np.arange(members), rows)
    reached = upper < (column + 1) * rows
    upper = np.minimum(upper, (column + 1) * rows - 1)
    lower = np.maximum(upper - 1, column * rows)
    rise = line[upper] - line[lower]
    part = np.where(rise > 0, (wanted - line[lower]) / np.where(rise > 0, rise, 1.0), 1.0)
    row = lower - column * rows + part
    start = np.tile(np.arange(rows), members)
    hours = np.where(reached, (row - start) * step_h, np.inf)
    return np.ascontiguousarray(hours.reshape(members, rows).T)


def latest_recoat_h(face_C: Array, sheet: Sheet) -> Array:
    """Longest time to the next coat for a face temperature [h], same shape; infinite: no end.

    The sheet's own end is taken as told; the usual one of a reacting film shrinks in heat.

    Source: UFGS_09971 (recoat windows by the highest surface temperature).
    """
    if sheet.recoat_max_h is None:
        return np.full(np.shape(face_C), np.inf)
    if "recoat_max_h" in sheet.given or sheet.dries != "reaction":
        return np.full(np.shape(face_C), sheet.recoat_max_h)
    tops = np.array([row[0] for row in RECOAT_WINDOWS])
    fraction = np.array([row[2] / RECOAT_WINDOWS[0][2] for row in RECOAT_WINDOWS])
    band = np.minimum(np.searchsorted(tops, face_C, side="left"), len(tops) - 1)
    least = sheet.recoat_min_h * np.array([row[1] / RECOAT_WINDOWS[0][1] for row in RECOAT_WINDOWS])
    return np.maximum(sheet.recoat_max_h * fraction[band], least[band])
