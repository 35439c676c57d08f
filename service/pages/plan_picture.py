"""The plan as a picture to scale: a lane for each mould, days across, each stay a bar."""

from datetime import datetime, time, timedelta
from xml.sax.saxutils import escape

from service.pages.view import Clock
from service.plan_answers import PlanResponse
from service.words import instant

WIDTH, LANE, TOP, SIDE = 340.0, 40.0, 22.0, 4.0
LEAST_DAYS, MOST_DAYS = 4, 24


def drawn(told: PlanResponse, clock: Clock) -> str:
    """The SVG; nothing where nothing is poured. A number on a bar is that of the list."""
    if not told.poured:
        return ""
    begin = _midnight(told.made_at, clock)
    end = max(one.free_at for one in told.poured)
    days = min(max((end - begin) // timedelta(days=1) + 1, LEAST_DAYS), MOST_DAYS)
    lanes = list(dict.fromkeys(sorted(one.mould for one in told.poured)))
    height = TOP + LANE * len(lanes) + 4

    def x(at: datetime) -> float:
        share = (at - begin) / timedelta(days=days)
        return SIDE + min(max(share, 0.0), 1.0) * (WIDTH - 2 * SIDE)

    parts = [
        f'<svg class="lanes" viewBox="0 0 {WIDTH:g} {height:g}" role="img"'
        f' aria-label="{escape(_said(told), {chr(34): "&quot;"})}">'
    ]
    every = 1 if days <= 8 else 2 if days <= 16 else 3
    for day in range(days):
        at = begin + timedelta(days=day)
        left = x(at)
        line = f'<line class="day" x1="{left:.1f}" x2="{left:.1f}" y1="{TOP - 4:g}"'
        parts.append(f'{line} y2="{height:g}"/>')
        if day % every == 0:
            noon = datetime.combine(at.astimezone(clock.zone).date(), time(12), clock.zone)
            name = escape(_short(instant(noon, "day", clock.reader)))
            parts.append(f'<text class="date" x="{left + 1:.1f}" y="12">{name}</text>')
    for k, lane in enumerate(lanes):
        base = TOP + LANE * k
        name = escape(lane[:40])
        parts.append(f'<text class="lane" x="{SIDE:g}" y="{base + 10:g}">{name}</text>')
        for number, one in enumerate(told.poured, 1):
            if one.mould != lane:
                continue
            left, right, strip = x(one.at), x(one.free_at), x(one.strip_at)
            kind = "held pinned" if one.pinned else "held"
            parts.append(
                f'<rect class="{kind}" x="{left:.1f}" y="{base + 14:g}"'
                f' width="{max(right - left, 2.0):.1f}" height="20" rx="2"/>'
                f'<line class="strip" x1="{strip:.1f}" x2="{strip:.1f}"'
                f' y1="{base + 14:g}" y2="{base + 34:g}"/>'
                f'<text class="number" x="{left + 3:.1f}" y="{base + 28:g}">{number}</text>'
            )
    return "".join([*parts, "</svg>"])


def _midnight(at: datetime, clock: Clock) -> datetime:
    return datetime.combine(at.astimezone(clock.zone).date(), time(), clock.zone)


def _short(day: str) -> str:
    """The day of the week and of the month: `Thu 15`."""
    return " ".join(day.replace(",", "").split()[:2])


def _said(told: PlanResponse) -> str:
    return "; ".join(
        f"{k}: {one.piece.name} in {one.mould}" for k, one in enumerate(told.poured, 1)
    )
