"""Dry enough to seal: pore humidity at the test depth, and a face that has not just been wet."""

from dataclasses import dataclass

import numpy as np

from models.concrete.moisture import Dried
from models.facts.moisture import (
    AFTER_RAIN_H,
    AFTER_RAIN_USUAL_H,
    CONSTANT_AT_MM,
    CONSTANT_FOR_D,
    CONSTANT_FOR_RANGE_D,
    CONSTANT_MASS_PCT,
)
from models.steps.opening import before, last_row, lasts_h
from models.units import Array, Mask

DAY_H = 24
SHORT_H = 1e-6  # hours that are as good as none: rounding


@dataclass(frozen=True)
class Drying:
    """How the members dry: Dried, and (rows, members) booleans of the upper face.

    open_top : whether it meets the air; wet_top : rain or washing is on it (dew is the coat's own)
    mass_kg_m2 : [kg/m2] the whole section; no_coat_before_h : [h] no coat before: a film was wet
    weighed_dry_h : [h] when a witness tile was weighed and its mass had become constant
    """

    dried: Dried
    open_top: Mask
    wet_top: Mask
    mass_kg_m2: float
    no_coat_before_h: float = -np.inf
    weighed_dry_h: float = np.inf

    def loss_pct(self, hours: int = DAY_H) -> Array:
        """Mass lost in the hours before each hour [% of the whole], (rows, members)."""
        lost = self.dried.lost_kg_m2
        return 100 * (lost - before(lost, self.dried.hour, hours)) / self.mass_kg_m2


def ready_at(drying: Drying, target_rh: float, now_h: float) -> Array:
    """Hour from which each member is dry at the test depth [h], (members,); infinite: not yet.

    The run of dry hours that holds at now_h, or the next one: what was dry and is wet again waits.
    Age alone never dries: a closed face lets nothing out. A tile of constant mass is dry whatever
    the model says, until the face was wet again.

    target_rh : dimensionless, of the chemistry; now_h : [h] from placing
    Source: ASTM_F2170 for the depth; limits in facts.sealers.
    """
    hour = drying.dried.hour
    dry = drying.dried.probe_rh <= target_rh
    begins = begins_h(hour, dry, now_h)
    if np.isfinite(drying.weighed_dry_h):
        since = (hour >= drying.weighed_dry_h) & (hour <= now_h)
        wet = (drying.wet_top & since[:, None]).any(axis=0)
        begins = np.minimum(begins, np.where(wet, np.inf, drying.weighed_dry_h))
    return np.maximum(begins, drying.no_coat_before_h)


def begins_h(hour: Array, good: Mask, now_h: float) -> Array:
    """Where the run of good hours begins that holds at now_h, or the next one [h], (members,);
    infinite: there is none.

    hour : (rows,) [h]; good : (rows, members) boolean; now_h : [h] from placing
    Source: definition.
    """
    now_row = last_row(hour, now_h)
    later = good[now_row:]
    first = now_row + np.argmax(later, axis=0)
    rows = np.arange(len(hour))[:, None]
    bad_before = np.where(~good & (rows < first), rows, -1).max(axis=0)
    begins = hour[np.minimum(bad_before + 1, len(hour) - 1)]
    return np.where(later.any(axis=0), begins, np.inf)


def wait_after_wet_h(chemistry: str | None) -> float:
    """Dry hours after rain or washing before a sealer [h]; of one not told the longest.

    Source: UFGS_07190 practice of 48 h for silane, 24 h for others (TYPICAL_SHEET).
    """
    if chemistry is None:
        return max(AFTER_RAIN_USUAL_H, *AFTER_RAIN_H.values())
    return AFTER_RAIN_H.get(chemistry, AFTER_RAIN_USUAL_H)


def face_is_dry(drying: Drying, chemistry: str | None) -> Mask:
    """Whether the face has met the air for long enough since it was wet, (rows, members) boolean.

    Source: UFGS_07190 practice of 48 h for silane, 24 h for others (TYPICAL_SHEET).
    """
    wait = wait_after_wet_h(chemistry)
    hour = drying.dried.hour[:, None]
    wet = drying.wet_top | ~drying.open_top
    last = np.maximum.accumulate(np.where(wet, hour, -np.inf), axis=0)
    return drying.open_top & (hour - last >= wait)


def dry_since(drying: Drying, hours: int) -> Mask:
    """Whether the face has met the air, and no water, for so many hours, (rows, members) boolean.

    hours : [h]
    Source: definition.
    """
    hour = drying.dried.hour
    good_h = np.cumsum((drying.open_top & ~drying.wet_top) * lasts_h(hour), axis=0)
    since: Mask = good_h - before(good_h, hour, hours) >= hours - SHORT_H
    return since


def constant_days(section_mm: float) -> int:
    """Days over which a mass must stand still to count as constant [d]: a week at 50 mm.

    What dries through a section takes the square of its thickness, so that in the same days a
    thick piece shows less of what it has still to lose.

    section_mm : [mm]
    Source: CRANK_1975 for the square; OWN_JUDGEMENT for the week.
    """
    days = CONSTANT_FOR_D * (section_mm / CONSTANT_AT_MM) ** 2
    return int(np.ceil(np.clip(days, *CONSTANT_FOR_RANGE_D)))


def mass_stands_still(drying: Drying, section_mm: float) -> Mask:
    """Whether a piece changed by under 0.1 % in the days of its section, (rows, members) boolean.

    It tells of dryness only where the face was open and dry through all of them: `dry_since`.

    section_mm : [mm]
    Source: COMMON_PRACTICE (constant mass of the EN tests, from memory); constant_days.
    """
    hours = DAY_H * constant_days(section_mm)
    still: Mask = np.abs(drying.loss_pct(hours)) < CONSTANT_MASS_PCT
    return still
