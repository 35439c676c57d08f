"""The whole timeline of a pour as one picture: its steps over the curves that they hang on.

Drawn twice, for a phone and for a wide screen or paper; each bar opens where the curve under it
crosses the level that the step asks for. Time runs across, so that a bar stands over its crossing.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, time, timedelta
from functools import partial
from importlib.resources import files
from itertools import pairwise
from typing import Any

from babel import Locale
from babel.dates import format_datetime, format_skeleton
from markupsafe import Markup, escape

from models.message import Message
from models.records import Place, Shop
from service.answers import AnswerResponse, ConcreteResponse
from service.pages import render, timeline_axis, timeline_curves
from service.pages.timeline_axis import Axis
from service.pages.timeline_curves import LETTER, PHONE, WIDE, Look
from service.pages.timeline_marks import legend, row_of
from service.pages.timeline_rows import Rows, folded, rows_of
from service.pages.view import Clock
from service.words import Reader, numbers, say
from service.words.measures import bare, measure, unit_of

HOUR = timedelta(hours=1)
BLIND_DAYS = 14  # that are drawn where there is no weather
HEAD = 60.0  # height of the axis with its two strips
TITLE = 18.0  # from the name of a field to its top
HOUR_PX = 44  # from one hour that is named to the next
NOW_PX = 30  # about `now`, where no other hour is named
SHADED_PX = 6  # a night narrower than this is a mark of the strip alone


@dataclass(frozen=True)
class Around:
    """Where and when the shop works: for nights and working hours."""

    latitude: float | None
    longitude: float | None
    working: tuple[time, time]

    @classmethod
    def rows(cls, place: Place, shop: Shop) -> "Around":
        """Of a place and the shop, as they are stored."""
        return cls(place.latitude, place.longitude, (shop.working_from, shop.working_to))


@dataclass(frozen=True)
class _Subject:
    """What is drawn, and for whom."""

    answer: AnswerResponse
    concrete: ConcreteResponse | None
    around: Around
    reader: Reader
    clock: Clock
    name: str
    told: Rows

    def axis(self, look: Look) -> Axis:
        """From the pour to the last instant that the record holds and a row shows."""
        hours = self.concrete.time if self.concrete else ()
        placed = self.answer.pour.at or (hours[0] if hours else self.clock.now)
        until = hours[-1] if hours else placed + timedelta(days=BLIND_DAYS)
        last = max((at for at in self.told.instants if at <= until), default=placed)
        ends = look.left, look.right
        return timeline_axis.axis(placed, self.clock.now, last, self.clock.zone, *ends)

    def said(self, code: str) -> Markup:
        values = {"unit": unit_of("stress_MPa", self.reader)}
        return escape(say(Message(code, values), self.reader))


def of(
    answer: AnswerResponse,
    concrete: ConcreteResponse | None,
    around: Around,
    reader: Reader,
    clock: Clock,
    name: str,
) -> Markup:
    """The picture for a page, with what a thumb reads off it as a table under it."""
    told = rows_of(answer, clock, reader)
    subject = _Subject(answer, concrete, around, reader, clock, name, told)
    axes = subject.axis(PHONE), subject.axis(WIDE)
    columns, lines = _table(concrete, *axes, clock, reader)
    template = render.environment.get_template("_timeline.html")
    text = template.render(
        phone=_drawn(subject, axes[0], PHONE, "phone"),
        wide=_drawn(subject, axes[1], WIDE, "wide"),
        key=_key(reader),
        under=folded(told, axes[0].end, reader).under,
        columns=columns,
        lines=lines,
        now=clock.now,
    )
    return Markup(text)  # rendered with escaping


def alone(
    answer: AnswerResponse,
    concrete: ConcreteResponse | None,
    around: Around,
    reader: Reader,
    clock: Clock,
    name: str,
) -> str:
    """The wide picture as a file of its own, with its colours in it."""
    told = rows_of(answer, clock, reader)
    subject = _Subject(answer, concrete, around, reader, clock, name, told)
    style = (files("service.pages") / "static" / "picture.css").read_text(encoding="utf-8")
    svg = _drawn(subject, subject.axis(WIDE), WIDE, "wide")
    own = '<svg xmlns="http://www.w3.org/2000/svg" class="alone '
    return str(
        svg.replace(Markup('<svg class="'), Markup(own), 1).replace(
            Markup("</title>"), Markup(f"</title><style>{style}</style>"), 1
        )
    )


def _drawn(subject: _Subject, axis: Axis, look: Look, key: str) -> Markup:
    rows, reader = folded(subject.told, axis.end, subject.reader), subject.reader
    answer, concrete, now = subject.answer, subject.concrete, subject.clock.now
    parts: list[str] = []
    lanes, y = [(36.0, HEAD - 4)], HEAD
    for row in rows.rows:
        drawn, lane, y = row_of(row, axis, look, y, now)
        parts += drawn
        lanes.append(lane)
    for code, note, height, draw in _fields(look, answer, reader):
        curves = draw(axis, concrete, y + TITLE) if concrete else []
        if curves:
            parts += [_titled(subject, code, note, look, y + 13), *curves]
            lanes.append((y + TITLE, y + TITLE + height))
            y += TITLE + height + 2
    bottom = y + 2
    marks, height = legend(look, bottom + 2, reader) if look.beside else ([], bottom + 2)
    back = _back(subject, axis, look, bottom)
    cursor = f'<path class="cursor" d="M0 36V{bottom:.1f}"/>'
    title = say(Message("picture_of", {"name": subject.name}), reader)
    parts = [*back, *parts, *_now(axis, lanes, subject), *marks, cursor]
    return _svg(key, look.width, height, title, " ".join(rows.aloud), parts)


def _key(reader: Reader) -> Markup:
    """What the marks mean, for a phone, where it stands one tap deeper."""
    marks, height = legend(PHONE, 0.0, reader)
    drawn = f'<svg class="timeline key" viewBox="0 0 {PHONE.width:g} {height:.0f}">'
    return Markup(f"{drawn}{''.join(marks)}</svg>")  # every word in it is escaped


def _fields(
    look: Look, answer: AnswerResponse, reader: Reader
) -> list[tuple[str, str, float, Callable[[Axis, ConcreteResponse, float], list[str]]]]:
    """The fields of curves: name, what its lines are, height, and how it is drawn."""
    warm, strong, damp = look.heights
    ahead = [one for one in answer.steps if not one.done_at]
    whole = any(one.step in timeline_curves.OF_SECTION for one in ahead)
    return [
        ("picture_concrete", "picture_lines", warm, partial(timeline_curves.warmth, look, reader)),
        (
            "picture_strength",
            "picture_section" if whole else "",
            strong,
            partial(timeline_curves.strength, look, reader, ahead),
        ),
        ("picture_dryness", "", damp, partial(timeline_curves.dryness, look, reader, answer)),
    ]


def _back(subject: _Subject, axis: Axis, look: Look, bottom: float) -> list[str]:
    """The axis: its scales, days and hours; nights and working hours; frost and rain."""
    around, concrete = subject.around, subject.concrete
    dark = timeline_axis.nights(axis, around.latitude, around.longitude)
    parts = [
        f'<rect class="dark" x="{a:.1f}" y="37" width="{b - a:.1f}" height="{bottom - 37:.1f}"/>'
        for a, b in dark
        if b - a > SHADED_PX
    ]
    fine = [at for at in axis.midnights() if axis.part(at).scale in ("hours", "days")]
    grid = "".join(f"M{axis.x(at):.1f} 26V{bottom:.1f}" for at in fine)
    parts.append(f'<path class="grid" d="{grid}"/>')
    for part in axis.parts:
        scale = subject.said(f"picture_{'days' if part.scale == 'past' else part.scale}")
        parts.append(f'<path class="break" d="M{part.left:.1f} 1V{bottom:.1f}"/>')
        parts.append(f'<text class="small soft" x="{part.left + 2:.1f}" y="9">{scale}</text>')
    parts += [*_days(axis, look, subject.reader), *_hours(axis, look, subject)]
    nights = "".join(f"M{a:.1f} 40H{b:.1f}" for a, b in dark if b - a > 0.6)
    parts.append(f'<path class="night" d="{nights}"/>')
    parts += [
        f'<rect class="working" x="{a:.1f}" y="37.5" width="{b - a:.1f}" height="5"/>'
        for a, b in timeline_axis.working(axis, around.working)
    ]
    return parts + (timeline_curves.sky(axis, concrete, 46, 9) if concrete else [])


def _days(axis: Axis, look: Look, reader: Reader) -> list[str]:
    """Names of days, those that have room."""
    locale = Locale.parse(reader.locale)
    out, free = [], axis.left
    bounds = [axis.begin, *(at for at in axis.midnights() if at > axis.begin), axis.end]
    for begin, end in pairwise(bounds):
        a, b, part = axis.x(begin), axis.x(end), axis.part(begin)
        day = begin.astimezone(axis.zone).date()
        named = format_skeleton("MMMd", day, locale=locale) if part.scale == "weeks" else ""
        words = named or format_datetime(begin.astimezone(axis.zone), "EEE d", locale=locale)
        half = 0.5 * LETTER * look.small * len(words)
        if part.scale == "hours" and b - a < half:
            continue  # a piece of a day, too short to be named
        at = max(0.5 * (a + b), a + half + 1) if b - a < 2 * half else 0.5 * (a + b)
        if at - half >= free and at + half <= part.right + 6:
            out.append(f'<text class="small mid" x="{at:.1f}" y="21">{escape(words)}</text>')
            free = at + half + 5
    return out


def _hours(axis: Axis, look: Look, subject: _Subject) -> list[str]:
    """Hours of the clock in the dense part, but where `now` stands."""
    reader, out = subject.reader, []
    locale = Locale.parse(reader.locale)
    now = axis.x(subject.clock.now) if axis.shows(subject.clock.now) else -NOW_PX
    for midnight in axis.midnights():
        roomy = look.beside and 6 * axis.part(midnight).px_per_h > HOUR_PX
        for hour in (6, 12, 18) if roomy else (12,):
            at = midnight + hour * HOUR
            if not axis.shows(at) or axis.part(at).scale != "hours":
                continue
            if abs(axis.x(at) - now) > NOW_PX:
                local = at.astimezone(axis.zone)
                pattern = "h a" if reader.hours == 12 else "HH"
                words = format_datetime(local, pattern, locale=locale).lower()
                told = f'class="small soft mid" x="{axis.x(at):.1f}" y="33"'
                out.append(f"<text {told}>{escape(words)}</text>")
    return out


def _titled(subject: _Subject, code: str, note: str, look: Look, y: float) -> str:
    """The name of a field, and what its lines are."""
    x = 0 if look.beside else look.left
    head = f'<text class="name" x="{x}" y="{y:.1f}">{subject.said(code)}</text>'
    if not note:
        return head
    told = f'class="small soft end" x="{look.right:.1f}" y="{y:.1f}"'
    return f"{head}<text {told}>{subject.said(note)}</text>"


def _now(axis: Axis, lanes: Iterable[tuple[float, float]], subject: _Subject) -> list[str]:
    """A line through lanes and fields, never through words."""
    now = subject.clock.now
    if not axis.shows(now):
        return []
    x = axis.x(now)
    d = "".join(f"M{x:.1f} {a:.1f}V{b:.1f}" for a, b in lanes)
    side = "end" if x > axis.right - 14 else "mid" if x > axis.left + 12 else ""
    told = f'class="small name {side}" x="{x:.1f}" y="33"'
    return [f'<path class="now" d="{d}"/>', f"<text {told}>{subject.said('picture_now')}</text>"]


def _table(
    concrete: ConcreteResponse | None, axis: Axis, wide: Axis, clock: Clock, reader: Reader
) -> tuple[list[str], list[dict[str, Any]]]:
    """The values at every hour that a thumb can read off, with their places in both pictures."""
    if concrete is None:
        return [], []
    names = ("when", "column_concrete", "column_air", "column_strength", "column_dampness")
    wet = any(chance and chance >= 0.1 for chance in concrete.rain_chance)
    columns = [say(Message(f"picture_{one}", {}), reader) for one in names]
    columns += [say(Message("picture_column_rain", {}), reader)] if wet else []
    lines = []
    for at in timeline_axis.ticks(axis):
        k = round((at - concrete.time[0].astimezone(UTC)) / HOUR)
        moment = clock(at)
        if not 0 <= k < len(concrete.time) or moment is None:
            continue
        cells = [moment.clock]
        cells.append(_banded("temperature_C", concrete.mean_C, k, reader))
        cells.append(_one("temperature_C", concrete.air_C.p50[k], reader))
        cells.append(_banded("stress_MPa", concrete.strength_MPa, k, reader))
        rh = concrete.pore_rh.p50[k]
        cells.append("–" if rh is None else f"{100 * rh:.0f} %")
        if wet:
            chance = concrete.rain_chance[k] if k < len(concrete.rain_chance) else None
            cells.append(numbers.chance(chance, reader) if chance else "–")
        place = f"{axis.x(at):.1f} {wide.x(at):.1f}"
        lines.append({"x": place, "at": at, "cells": cells})
    return columns, lines


def _banded(name: str, bands: Any, k: int, reader: Reader) -> str:
    low, middle, high = bands.p10[k], bands.p50[k], bands.p90[k]
    if low is None or middle is None or high is None:
        return "–"
    ends = [bare(one, name, reader) for one in (low, high)]
    values = {"middle": _one(name, middle, reader), "low": ends[0], "high": ends[1]}
    return say(Message("picture_band", dict(values)), reader)


def _one(name: str, value: float | None, reader: Reader) -> str:
    return "–" if value is None else measure(value, name, reader)


def _svg(
    key: str, width: float, height: float, title: str, described: str, parts: Iterable[str]
) -> Markup:
    return Markup(  # every text in it is escaped or ours
        f'<svg class="timeline {key}" viewBox="0 0 {width:g} {height:.0f}" role="img"'
        f' aria-labelledby="timeline-{key}-t timeline-{key}-d">'
        f'<title id="timeline-{key}-t">{escape(title)}</title>'
        f'<desc id="timeline-{key}-d">{escape(described)}</desc>{"".join(parts)}</svg>'
    )
