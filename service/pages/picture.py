"""The weather of a record as a picture, a bar a day; and what any line leaves out."""

import math
from collections.abc import Callable, Iterator, Sequence
from datetime import date

from markupsafe import Markup, escape

from service.actions.record.weather_days import Day
from service.words import Reader, measure

WIDTH, HEIGHT = 358, 130
LEFT, RIGHT, TOP, BOTTOM = 34, 8, 30, 24
TOLERANCE = 0.8  # px: a point nearer to the line than this is left out
DAY_NAMES = 5  # so many have room side by side
STEPS = (2, 5, 10, 20, 50)  # degrees between two lines
LEAST_RAIN_MM = 10.0  # at the top of the picture
Point = tuple[float, float]


def days(record: Sequence[Day], name: str, reader: Reader, on: Callable[[date], str]) -> Markup:
    """Air at the piece from low to high and rain outside, a bar for each day; on : says a day."""
    if not record:
        return Markup("")
    low_C = math.floor(min(0.0, *(day.low_C for day in record)) / 5) * 5
    high_C = math.ceil((max(10.0, *(day.high_C for day in record)) + 1) / 5) * 5
    most = max([LEAST_RAIN_MM, *(day.rain_mm or 0.0 for day in record)])
    width = (WIDTH - LEFT - RIGHT) / len(record)
    bar = min(8.0, 0.35 * width)

    def y(value_C: float) -> float:
        return HEIGHT - BOTTOM - (value_C - low_C) / (high_C - low_C) * (HEIGHT - BOTTOM - TOP)

    parts = [*_degrees(low_C, high_C, y, reader)]
    named = math.ceil(len(record) / DAY_NAMES)
    for k, day in enumerate(record):
        x, top = LEFT + (k + 0.5) * width, y(day.high_C)
        parts.append(_rect("swatch", x - bar, top, bar, max(y(day.low_C) - top, 2.0)))
        if day.rain_mm:
            tall = day.rain_mm / most * (HEIGHT - BOTTOM - TOP)
            parts.append(_rect("rain", x + 1, HEIGHT - BOTTOM - tall, bar, tall))
        if k % named == 0:
            words = f"{day.date:%a} {day.date.day}"
            parts.append(f'<text class="mid" x="{x:.1f}" y="{HEIGHT - 7}">{words}</text>')
    parts.append(_legend(f"rain, top = {measure(most, 'length_mm', reader)}"))
    described = f"{len(record)} days, {on(record[0].date)} to {on(record[-1].date)}."
    return Markup(  # every text in it is escaped or ours
        f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-labelledby="days-t days-d">'
        f'<title id="days-t">{escape(f"Weather of {name}")}</title>'
        f'<desc id="days-d">{escape(described)}</desc>{"".join(parts)}</svg>'
    )


def _degrees(
    low_C: float, high_C: float, y: Callable[[float], float], reader: Reader
) -> Iterator[str]:
    """A line at each round degree of the reader with its number, a stronger one at freezing."""
    fahrenheit = reader.units.customary("temperature")
    size, nought = (1.8, 32.0) if fahrenheit else (1.0, 0.0)
    step = next(one for one in STEPS if (high_C - low_C) * size / one <= 6)
    yield f'<text x="2" y="{TOP - 4}">{"°F" if fahrenheit else "°C"}</text>'
    first, last = (math.ceil(low_C * size + nought), math.floor(high_C * size + nought))
    for told in range(-(-first // step) * step, last + 1, step):
        at = y((told - nought) / size)
        yield f'<path class="grid" d="M{LEFT} {at:.1f}H{WIDTH - RIGHT}"/>'
        if at > TOP + 8:
            yield f'<text class="end" x="{LEFT - 5}" y="{at + 4:.1f}">{told}</text>'
    if low_C < 0:
        yield f'<path class="zero" d="M{LEFT} {y(0):.1f}H{WIDTH - RIGHT}"/>'


def _rect(kind: str, x: float, y: float, width: float, height: float) -> str:
    return (
        f'<rect class="{kind}" x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}"/>'
    )


def _legend(rain: str) -> str:
    out, x = "", LEFT + 10
    for kind, words in (("swatch", "air at the piece"), ("rain", rain)):
        out += f'<rect class="{kind}" x="{x}" y="4" width="20" height="10"/>'
        out += f'<text x="{x + 25}" y="13">{words}</text>'
        x += 40 + 7 * len(words)
    return out


def simplified(points: Sequence[Point], tolerance: float = TOLERANCE) -> list[Point]:
    """The line with the points that do not show left out (Ramer, Douglas and Peucker)."""
    if len(points) < 3:
        return list(points)
    keep = [False] * len(points)
    keep[0] = keep[-1] = True
    parts = [(0, len(points) - 1)]
    while parts:
        first, last = parts.pop()
        far, distance = first, 0.0
        for k in range(first + 1, last):
            away = _away(points[k], points[first], points[last])
            if away > distance:
                far, distance = k, away
        if distance > tolerance:
            keep[far] = True
            parts += [(first, far), (far, last)]
    return [point for point, stays in zip(points, keep, strict=True) if stays]


def _away(point: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy)
    if length == 0:
        return math.hypot(point[0] - a[0], point[1] - a[1])
    return abs(dy * (point[0] - a[0]) - dx * (point[1] - a[1])) / length
