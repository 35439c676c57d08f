"""What a place or a mix has taught, in words."""

import math
from datetime import datetime

from sqlmodel import Session

from models.concrete.calibrated_mix import FACTORS
from models.facts.forecast import LEAST_DAYS
from models.message import Message
from models.records import Mix, Place, Row
from service.actions.shop.calibrate import still_to_read
from service.words import Reader, measure, say

ABOUT_THE_SAME = 0.03
RUNS_TRUE_K = 0.05
HELD = (
    "The results say more: no mix was taken further from {source} than this. See whether"
    " the mix told here is the one that was cast."
)


def words(row: Row, reader: Reader) -> list[str]:
    """Nothing for a row that has taught nothing."""
    if isinstance(row, Place):
        return _place(row, reader) + _forecasts(row, reader)
    return _mix(row) if isinstance(row, Mix) else []


def wanting(session: Session, now: datetime, row: Row, reader: Reader) -> str:
    """What has to be read before a place teaches; nothing for what needs no more readings."""
    if not isinstance(row, Place) or row.kind == "heated room" or words(row, reader):
        return ""
    lacking = still_to_read(session, now, row)
    if lacking is None:
        return ""
    lacking_text = Message("lacking_so_far", {"why": lacking.why, "how": lacking.how_to_get_it})
    return say(lacking_text, reader)


def _place(row: Place, reader: Reader) -> list[str]:
    over, doubt = row.learned_offset_K, row.learned_offset_sd_K
    if over is None or doubt is None:
        return []
    side = "warmer" if over >= 0 else "colder"
    late = f", about {row.learned_lag_h:.0f} h late" if row.learned_lag_h is not None else ""
    text = (
        f"Learned from {_counted(row.learned_from_count, 'reading')}:"
        f" {_degrees(over, reader)} {side} than outdoors, give or take"
        f" {_degrees(doubt, reader)}{late}."
    )
    typed = [
        name for name, value in (("offset", row.offset_K), ("lag", row.lag_h)) if value is not None
    ]
    first = [f"The {' and '.join(typed)} you typed goes first."] if typed else []
    return [text, *first, "Used from the next pour on."]


def _forecasts(row: Place, reader: Reader) -> list[str]:
    """One line for each class of lead that has been compared for a week or longer."""
    known = [one for one in row.learned_forecast or () if one["days"] >= LEAST_DAYS]
    if not known:
        return []
    lines = [
        f"{one['from_h']:.0f}–{one['to_h']:.0f} h ahead they run"
        f" {_warm(one['seen_bias_K'], reader)}, give or take"
        f" {_degrees(one['seen_sd_K'], reader)}; from {one['days']:.0f} days."
        f"{_put_right(one['bias_K'], reader)}"
        for one in known
    ]
    return [
        "Forecasts for this place, against what came:",
        *lines,
        "The longer the record, the more of it is put right; the doubt follows.",
    ]


def _degrees(apart_K: float, reader: Reader) -> str:
    return measure(abs(apart_K), "temperature_difference_K", reader)


def _put_right(bias_K: float, reader: Reader) -> str:
    if abs(bias_K) < RUNS_TRUE_K:
        return ""
    return f" {'Taken off' if bias_K > 0 else 'Added'}: {_degrees(bias_K, reader)}."


def _warm(bias_K: float, reader: Reader) -> str:
    if abs(bias_K) < RUNS_TRUE_K:
        return "true"
    return f"{_degrees(bias_K, reader)} {'warm' if bias_K > 0 else 'cold'}"


def _mix(row: Mix) -> list[str]:
    strong, late = row.learned_strength_factor, row.learned_set_factor
    if strong is None or late is None:
        return []
    source = "its label" if row.label else "its kind"
    doubt = 100 * math.expm1(row.learned_strength_sd or 0.0)
    text = (
        f"Learned from {_counted(row.learned_from_count, 'pour result')}:"
        f" {_strength(strong, source)} (±{doubt:.0f} %), {_set(late)}."
    )
    held = [HELD.format(source=source)] if strong in FACTORS or late in FACTORS else []
    typed = row.initial_set_h is not None or row.final_set_h is not None
    first = ["The set you typed goes first."] if typed else []
    return [text, *held, *first, "Used from the next pour on."]


def _strength(factor: float, source: str) -> str:
    if abs(factor - 1) < ABOUT_THE_SAME:
        return f"as strong as {source} says"
    return f"{abs(factor - 1):.0%} {'stronger' if factor > 1 else 'weaker'} than {source} says"


def _set(factor: float) -> str:
    if abs(factor - 1) < ABOUT_THE_SAME:
        return "sets on time"
    return f"takes {abs(factor - 1):.0%} {'longer' if factor > 1 else 'less long'} to set"


def _counted(count: int | None, noun: str) -> str:
    return f"{count or 0} {noun}{'' if count == 1 else 's'}"
