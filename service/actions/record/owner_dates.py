"""Dates for the calendar of whoever owns a piece: planting, first fire, first frost, new sealer.

A date that is not known is left out: nothing here opens what the piece's own page keeps closed.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from models.air.normals import normal
from models.facts.care import FROST_NIGHT_C, LIME_WATER_PH, PLANT_AGE_D, PLANT_PH
from models.message import Message
from service.actions.record.care_sheet import CareSheet

DAY, YEAR_D = timedelta(days=1), 366


@dataclass(frozen=True)
class OwnerDate:
    """One date with what it is for and what to mind; `key` tells it from the others of a piece."""

    key: str
    what: Message
    day: date
    note: Message
    every_year: bool = False


def owner_dates(sheet: CareSheet, now: datetime) -> list[OwnerDate]:
    """The dates of a piece that are known, the first first."""
    return sorted(_found(sheet, now), key=lambda one: one.day)


def _found(sheet: CareSheet, now: datetime) -> Iterator[OwnerDate]:
    at = {one.what.code: one.at for one in sheet.from_when}
    full, fire = at["bears_full_use"], at["bears_fire"]
    if sheet.holds_soil and full is not None:
        aged = sheet.placed_at + timedelta(days=PLANT_AGE_D)
        note = Message("owner_planting_note", {"fresh_pH": LIME_WATER_PH, "most_pH": PLANT_PH})
        yield OwnerDate("planting", Message("owner_planting"), _after(max(full, aged)), note)
    if fire is not None:
        yield OwnerDate(
            "first-fire", Message("owner_fire"), _after(fire), Message("owner_fire_note")
        )
    frost = _first_frost(sheet, now)
    if frost is not None:
        note = Message("owner_frost_note")
        yield OwnerDate("first-frost", Message("owner_frost"), frost, note, every_year=True)
    if sheet.coated_at is not None and sheet.chemistry is not None:
        years = timedelta(days=365.25 * sheet.reseal_years[0])
        note = Message("owner_reseal_note")
        yield OwnerDate("reseal", Message("owner_reseal"), _after(sheet.coated_at + years), note)


def _after(at: datetime) -> date:
    """The day of an instant; of one after midnight the next, so that no hour of it is too early."""
    return (at + DAY - timedelta(microseconds=1)).date()


def _first_frost(sheet: CareSheet, now: datetime) -> date | None:
    """The first day, from now on, whose usual night may freeze in the coldest year of six; None:
    none does, it stands indoors, or nobody told where.

    Source: models.air.normals.
    """
    if not sheet.in_frost or sheet.latitude is None or sheet.longitude is None:
        return None
    was_cold = True  # a date in the midst of a winter comes too late to be told
    for k in range(-1, YEAR_D):
        at = now + k * DAY
        usual = normal(sheet.latitude, sheet.longitude, at)
        cold = usual.mean_C - usual.half_day_K - usual.sd_K <= FROST_NIGHT_C
        if cold and not was_cold:
            return at.date()
        was_cold = cold
    return None
