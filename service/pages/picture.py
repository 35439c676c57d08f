"""Pictures of a place and of a record as SVG; coloured by the page's style."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from markupsafe import Markup, escape

from models.planning.place_conditions import PlaceConditions
from service.actions.record.weather_days import Day
from service.answers import ConcreteResponse
from service.pages.view import Clock

WIDTH, HEIGHT, DAYS_HEIGHT = 358, 210, 130
LEFT, RIGHT, TOP, BOTTOM = 34, 8, 30, 24
TOLERANCE = 0.8  # px: a point nearer to the line than this is left out
DAY_NAMES = 5  # so many have room side by side
Point = tuple[float, float]


@dataclass(frozen=True)
class Span:
    """The hours of a record that are drawn."""

    times: list[datetime]
    rows: int

    @property
    def begin(self) -> datetime:
        return self.times[0]

    @property
    def end(self) -> datetime:
        return self.times[self.rows - 1]


@dataclass(frozen=True)
class Rule:
    """From values to heights in the picture."""

    low: float
    high: float
    height: int = field(default=HEIGHT, kw_only=True)

    def y(self, value: float) -> float:
        fraction = (value - self.low) / (self.high - self.low)
        return self.height - BOTTOM - fraction * (self.height - BOTTOM - TOP)


@dataclass(frozen=True)
class Scale(Rule):
    """From instants and values to places in the picture."""

    span: Span

    def x(self, at: datetime) -> float:
        fraction = (at - self.span.begin) / (self.span.end - self.span.begin)
        return LEFT + fraction * (WIDTH - LEFT - RIGHT)


def place_conditions(
    conditions: PlaceConditions, concrete: Sequence[ConcreteResponse], clock: Clock, name: str
) -> Markup:
    """Outdoors, at the place with its band, and the concrete of each piece that stands there."""
    span = Span(list(conditions.times), len(conditions.times))
    place = {part: list(getattr(conditions.place_C, part)) for part in ("p10", "p50", "p90")}
    outdoors = list(conditions.outdoors_C.p50)
    pieces = [on_hours(conditions.times, one) for one in concrete]
    scale = Scale(*_fives([*place.values(), outdoors, *pieces]), span)
    parts = [_axes(scale, clock, "°C"), _area(scale, place["p10"], place["p90"])]
    parts += [_line(scale, outdoors, "dots"), _line(scale, place["p50"], "dash")]
    parts += [_line(scale, values, "line") for values in pieces]
    legend = [("dots", "outdoors"), ("dash", "here"), *([("line", "concrete")] if pieces else [])]
    parts += [_now(scale, clock), _legend(legend)]
    described = _described("Air at the place", "°C", place, span, clock)
    return _svg(f"Air at {name}", described, parts, "around")


def on_hours(times: Sequence[datetime], concrete: ConcreteResponse) -> list[float | None]:
    """The middle temperature of a piece at whole hours; None where it has none."""
    known = {
        (at - times[0]) // timedelta(hours=1): value
        for at, value in zip(concrete.time, concrete.mean_C.p50, strict=True)
    }
    return [known.get(k) for k in range(len(times))]


def days(record: Sequence[Day], name: str) -> Markup:
    """Air at the piece from low to high and rain outside, a bar for each day."""
    if not record:
        return Markup("")
    rule = Rule(*_fives((day.low_C, day.high_C) for day in record), height=DAYS_HEIGHT)
    most = max([10.0, *(day.rain_mm or 0.0 for day in record)])
    width = (WIDTH - LEFT - RIGHT) / len(record)
    bar = min(8.0, 0.35 * width)
    parts = [_rules(rule, "°C")]

    def bar_of(kind: str, x: float, y: float, tall: float) -> None:
        parts.append(
            f'<rect class="{kind}" x="{x:.1f}" y="{y:.1f}" width="{bar:.1f}" height="{tall:.1f}"/>'
        )

    named = math.ceil(len(record) / DAY_NAMES)
    for k, day in enumerate(record):
        x, top = LEFT + (k + 0.5) * width, rule.y(day.high_C)
        bar_of("swatch", x - bar, top, max(rule.y(day.low_C) - top, 2.0))
        if day.rain_mm:
            tall = day.rain_mm / most * (DAYS_HEIGHT - BOTTOM - TOP)
            bar_of("rain", x + 1, DAYS_HEIGHT - BOTTOM - tall, tall)
        if k % named == 0:
            words = f"{day.date:%a} {day.date.day}"
            parts.append(f'<text class="mid" x="{x:.1f}" y="{DAYS_HEIGHT - 7}">{words}</text>')
    parts.append(_legend([("swatch", "air at the piece"), ("rain", f"rain, top = {most:.0f} mm")]))
    summary = f"{len(record)} days, {record[0].date} to {record[-1].date}."
    return _svg(f"Weather of {name}", summary, parts, "days", DAYS_HEIGHT)


def _fives(columns: Iterable[Iterable[float | None]]) -> tuple[float, float]:
    """Whole fives around temperatures, from freezing to over 10 degC at least."""
    known = [0.0, 10.0, *(value for column in columns for value in column if value is not None)]
    return 5 * math.floor(min(known) / 5), 5 * math.ceil((max(known) + 1) / 5)


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


def _runs(scale: Scale, values: Sequence[float | None]) -> list[list[Point]]:
    """Stretches without a gap: what is not known is not drawn."""
    runs: list[list[Point]] = [[]]
    for at, value in zip(scale.span.times, values, strict=False):
        if value is None:
            runs.append([])
        else:
            runs[-1].append((scale.x(at), scale.y(value)))
    return [run for run in runs if len(run) > 1]


def _path(points: Iterable[Point]) -> str:
    return "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _line(scale: Scale, values: Sequence[float | None], kind: str) -> str:
    d = "".join(f"M{_path(simplified(run))}" for run in _runs(scale, values))
    return f'<path class="{kind}" d="{d}"/>' if d else ""


def _area(scale: Scale, low: Sequence[float | None], high: Sequence[float | None]) -> str:
    d = ""
    for under, over in zip(_runs(scale, low), _runs(scale, high), strict=False):
        d += f"M{_path(simplified(under))}L{_path(reversed(simplified(over)))}Z"
    return f'<path class="band" d="{d}"/>' if d else ""


def _axes(scale: Scale, clock: Clock, unit: str) -> str:
    grid, words = "", ""
    for at, name in _days(scale, clock):
        x = scale.x(at)
        grid += f"M{x:.1f} {TOP}V{HEIGHT - BOTTOM}"
        words += f'<text class="mid" x="{x:.1f}" y="{HEIGHT - 7}">{name}</text>'
    return f'<path class="grid" d="{grid}"/>{words}' + _rules(scale, unit)


def _rules(rule: Rule, unit: str) -> str:
    """A line for each round value with its number, a stronger one at zero."""
    step = _tick(rule.high - rule.low)
    grid, words = "", f'<text x="2" y="{TOP - 4}">{unit}</text>'
    for k in range(math.ceil(rule.low / step - 1e-9), math.floor(rule.high / step + 1e-9) + 1):
        y = rule.y(k * step)
        grid += f"M{LEFT} {y:.1f}H{WIDTH - RIGHT}"
        if y > TOP + 8:
            words += f'<text class="end" x="{LEFT - 5}" y="{y + 4:.1f}">{k * step:g}</text>'
    if rule.low < 0:
        words += f'<path class="zero" d="M{LEFT} {rule.y(0):.1f}H{WIDTH - RIGHT}"/>'
    return f'<path class="grid" d="{grid}"/>{words}'


def _days(scale: Scale, clock: Clock) -> list[tuple[datetime, str]]:
    """Midnights of the place with the day's name, as many as have room."""
    first = scale.span.begin.astimezone(clock.zone).date() + timedelta(days=1)
    days = (scale.span.end - scale.span.begin) / timedelta(days=1)
    stride = max(1, math.ceil(days / DAY_NAMES))
    out: list[tuple[datetime, str]] = []
    for k in range(0, int(days) + 2, stride):
        day = first + timedelta(days=k)
        at = datetime.combine(day, datetime.min.time(), tzinfo=clock.zone)
        if at >= scale.span.end or scale.x(at) > WIDTH - RIGHT - 12:
            break
        if scale.x(at) > LEFT + 12:
            out.append((at, f"{day:%a} {day.day}"))
    return out


def _now(scale: Scale, clock: Clock) -> str:
    if not scale.span.begin <= clock.now <= scale.span.end:
        return ""
    x = scale.x(clock.now)
    side = "end" if x > WIDTH - 50 else ""
    at = x - 4 if side else x + 4
    return (
        f'<path class="now" d="M{x:.1f} {TOP}V{HEIGHT - BOTTOM}"/>'
        f'<text class="{side}" x="{at:.1f}" y="{TOP + 10}">now</text>'
    )


def _legend(entries: Sequence[tuple[str, str]]) -> str:
    out, x = "", LEFT + 10.0
    for kind, words in entries:
        if kind in ("band", "swatch", "rain"):
            out += f'<rect class="{kind}" x="{x:g}" y="4" width="20" height="10"/>'
        else:
            out += f'<path class="{kind}" d="M{x:g} 9h20"/>'
        out += f'<text x="{x + 25:g}" y="13">{words}</text>'
        x += 40 + 7.0 * len(words)
    return out


def _described(
    what: str, unit: str, bands: Mapping[str, Sequence[float | None]], span: Span, clock: Clock
) -> str:
    place = min(range(span.rows), key=lambda k: abs(span.times[k] - clock.now))
    words = []
    for k in sorted({place, span.rows - 1}):
        moment = clock(span.times[k])
        assert moment is not None
        low, mid, high = (_number(bands[part][k]) for part in ("p10", "p50", "p90"))
        words.append(f"{moment.clock} {mid} {unit} (10 to 90 %: {low} to {high})")
    return f"{what}: {'; '.join(words)}."


def _svg(
    title: str, described: str, parts: Iterable[str], key: str, height: int = HEIGHT
) -> Markup:
    body = "".join(parts)
    return Markup(  # every text in it is escaped or ours
        f'<svg viewBox="0 0 {WIDTH} {height}" role="img" aria-labelledby="{key}-t {key}-d">'
        f'<title id="{key}-t">{escape(title)}</title><desc id="{key}-d">{escape(described)}</desc>'
        f"{body}</svg>"
    )


def _number(value: float | None) -> str:
    return "–" if value is None else f"{value:.1f}"


def _tick(reach: float) -> float:
    """A step that gives four to seven lines."""
    for step in (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0):
        if reach / step <= 6:
            return step
    return 100.0
