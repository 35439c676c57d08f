"""From when a piece bears rain, light and full use, as the care sheet and its own page say it."""

from dataclasses import replace

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
    return [(words, on_day(instant(at, "date", reader), at, reader)) for at, words in found]
