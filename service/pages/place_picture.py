"""The air of a place as a picture: outdoors, here with its doubt, the concrete; frost and night."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from markupsafe import Markup, escape

from models.planning.place_conditions import PlaceConditions
from models.units import Array
from service.answers import ConcreteResponse
from service.pages.view import Clock
from service.words import instant

WIDTH, HEIGHT = 358, 230
LEFT, RIGHT, TOP, BOTTOM = 40, 6, 12, 40
HOUR = timedelta(hours=1)
DUSK, DAWN = 18, 7  # of the night that is shaded; the air of a place knows no horizon
LEAST_SPAN_C = 10.0
EDGE = 44  # px: the name of a day has no room nearer to a side


@dataclass(frozen=True)
class Frame:
    """From hours and degrees to places in the picture."""

    times: Sequence[datetime]
    low_C: float
    high_C: float

    def x(self, row: float) -> float:
        return LEFT + row / (len(self.times) - 1) * (WIDTH - LEFT - RIGHT)

    def y(self, value_C: float) -> float:
        share = (value_C - self.low_C) / (self.high_C - self.low_C)
        return HEIGHT - BOTTOM - share * (HEIGHT - BOTTOM - TOP)


def on_hours(times: Sequence[datetime], concrete: ConcreteResponse) -> list[float | None]:
    """The middle temperature of a piece at whole hours; None where it has none."""
    known = {
        (at - times[0]) // HOUR: value
        for at, value in zip(concrete.time, concrete.mean_C.p50, strict=True)
    }
    return [known.get(k) for k in range(len(times))]


def draw(
    conditions: PlaceConditions,
    concrete: Sequence[ConcreteResponse],
    clock: Clock,
    name: str,
    least: tuple[int, float] | None,
) -> Markup:
    """least : row and value of the coldest hour of the coming night here, which is marked"""
    times = conditions.times
    here = conditions.place_C
    outdoors = [float(value) for value in conditions.outdoors_C.p50]
    pieces = [on_hours(times, one) for one in concrete]
    known = [float(v) for band in (here.p10, here.p90) for v in band] + outdoors
    known += [value for piece in pieces for value in piece if value is not None]
    low, high = min(known), max(known)
    spare = max(LEAST_SPAN_C - (high - low), 0.0) / 2
    frame = Frame(times, min(low - spare - 1.0, high - LEAST_SPAN_C), high + spare + 1.0)
    parts = [_nights(frame, clock), _frost(frame), _scale(frame, clock)]
    parts.append(_band(frame, here.p10, here.p90))
    parts.append(_line(frame, outdoors, "dots"))
    parts.append(_line(frame, [float(value) for value in here.p50], "here"))
    parts += [_line(frame, piece, "piece") for piece in pieces]
    parts.append(_now(frame, clock))
    if least is not None:
        row, value = least
        parts.append(
            f'<circle class="least" cx="{frame.x(row):.1f}" cy="{frame.y(value):.1f}" r="5"/>'
        )
    parts.append(_legend(with_concrete=bool(pieces)))
    body = "".join(parts)
    title = escape(f"Air at {name}, a day back and three ahead")
    return Markup(  # every text in it is escaped or ours
        f'<svg class="place" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-labelledby="air-t">'
        f'<title id="air-t">{title}</title>{body}</svg>'
    )


def _rect(kind: str, left: float, top: float, width: float, height: float) -> str:
    return (
        f'<rect class="{kind}" x="{left:.1f}" y="{top:.1f}" width="{width:.1f}"'
        f' height="{height:.1f}"/>'
    )


def _nights(frame: Frame, clock: Clock) -> str:
    local = [at.astimezone(clock.zone).hour for at in frame.times]
    dark = [hour >= DUSK or hour < DAWN for hour in local]
    out, begin = "", None
    for k, night in enumerate([*dark, False]):
        if night and begin is None:
            begin = k
        elif not night and begin is not None:
            end = min(k, len(dark) - 1)
            width = frame.x(end) - frame.x(begin)
            out += _rect("night", frame.x(begin), TOP, width, HEIGHT - BOTTOM - TOP)
            out += f'<path class="strip" d="M{frame.x(begin):.1f} {TOP + 2.5:.1f}h{width:.1f}"/>'
            begin = None
    return out


def _frost(frame: Frame) -> str:
    """The ground under 0 degC, with its name."""
    if frame.low_C >= 0.0:
        return ""
    top = max(frame.y(0.0), TOP)
    out = _rect("frost", LEFT, top, WIDTH - LEFT - RIGHT, HEIGHT - BOTTOM - top)
    if top > TOP:
        out += f'<path class="zero" d="M{LEFT} {top:.1f}H{WIDTH - RIGHT}"/>'
    return out + f'<text class="end" x="{WIDTH - RIGHT - 4}" y="{HEIGHT - BOTTOM - 5}">frost</text>'


def _scale(frame: Frame, clock: Clock) -> str:
    """Lines at round degrees of the reader, and the days at their noon."""
    fahrenheit = clock.reader.units.customary("temperature")
    span = (frame.high_C - frame.low_C) * (1.8 if fahrenheit else 1.0)
    step = next(one for one in (2, 5, 10, 20, 50) if span / one <= 6)
    out = ""
    for told in range(-100, 200, step):
        value_C = (told - 32) / 1.8 if fahrenheit else float(told)
        if frame.low_C < value_C < frame.high_C:
            y = frame.y(value_C)
            shown = f"{told}\u00b0".replace("-", "\u2212")
            out += f'<path class="grid" d="M{LEFT} {y:.1f}H{WIDTH - RIGHT}"/>'
            out += f'<text class="end" x="{LEFT - 3}" y="{y + 4:.1f}">{escape(shown)}</text>'
    for k, at in enumerate(frame.times):
        local = at.astimezone(clock.zone)
        if local.hour == 12 and EDGE < frame.x(k) < WIDTH - EDGE:
            day = escape(instant(at, "day", clock.reader).replace(",", ""))
            out += f'<text class="mid" x="{frame.x(k):.1f}" y="{HEIGHT - BOTTOM + 14}">{day}</text>'
    return out


def _band(frame: Frame, low: Array, high: Array) -> str:
    there = [f"{frame.x(k):.1f} {frame.y(float(v)):.1f}" for k, v in enumerate(high)]
    back = [f"{frame.x(k):.1f} {frame.y(float(v)):.1f}" for k, v in enumerate(low)][::-1]
    return f'<path class="band" d="M{"L".join([*there, *back])}Z"/>'


def _line(frame: Frame, values: Sequence[float | None], kind: str) -> str:
    out, pen = "", "M"
    for k, value in enumerate(values):
        if value is None:
            pen = "M"
            continue
        out += f"{pen}{frame.x(k):.1f} {frame.y(value):.1f}"
        pen = "L"
    return f'<path class="{kind}" d="{out}"/>' if out else ""


def _now(frame: Frame, clock: Clock) -> str:
    row = (clock.now - frame.times[0]) / HOUR
    if not 0 <= row <= len(frame.times) - 1:
        return ""
    x = frame.x(row)
    return (
        f'<path class="now" d="M{x:.1f} {TOP}V{HEIGHT - BOTTOM}"/>'
        f'<text class="mid" x="{x:.1f}" y="{TOP - 2}">now</text>'
    )


def _legend(*, with_concrete: bool) -> str:
    """Under the picture, so that no word sits on a curve."""
    names = [("dots", "outdoors"), ("here", "here")]
    names += [("piece", "concrete")] if with_concrete else []
    out, x, y = "", float(LEFT), HEIGHT - 8
    for kind, words in names:
        out += f'<path class="{kind}" d="M{x:.0f} {y - 4}h24"/>'
        out += f'<text x="{x + 28:.0f}" y="{y}">{words}</text>'
        x += 44 + 7.5 * len(words)
    return out
