"""From when a piece bears rain, light and full use, as the care sheet and its own page say it."""

from dataclasses import replace
from datetime import datetime, time

from service.actions.record.care_sheet import CareSheet
from service.words import Reader, say
from service.words.instants import deserved, instant, on_day


def known(sheet: CareSheet, reader: Reader) -> list[tuple[str, str]]:
    """What it bears and from when, the first first: read on other days, so that no hour is near."""
    on_paper = replace(reader, now=None)
    found = sorted(
        (deserved(one.at, on_paper, up=True), say(one.what, reader))
        for one in sheet.from_when
        if one.at
    )
    return [(words, _day(at, reader)) for at, words in found]


def _day(at: datetime, reader: Reader) -> str:
    """`28 November 2026, noon`; nobody knows which midnight 12 am is, so of that the day alone."""
    day, local = instant(at, "date", reader), reader.clock(at)
    if local.time() == time(0):
        return day
    return f"{day}, noon" if local.time() == time(12) else on_day(day, at, reader)
