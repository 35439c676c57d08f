"""The curves under the rows of the picture of a pour: warmth, strength, dampness, and its sky."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from markupsafe import escape

from models.message import Message
from models.steps import registry
from service.answers import AnswerResponse, ConcreteResponse, StepWindowResponse
from service.pages.picture import simplified
from service.pages.timeline_axis import Axis
from service.words import Reader, say, word
from service.words.measures import bare, measure

OF_SECTION = ("core", "end-wet-cure", "full-use")  # whose strength is that of the whole section
LETTER = 0.53  # width of a letter over its height
LABEL_GAP = 11.5  # between two words at the side
NEAR = 0.7  # px: hours nearer than this to one another are not told apart
FLAT = 0.2  # px: a point nearer to its line is left out
Values = Sequence[float | None]


@dataclass(frozen=True)
class Look:
    """Sizes of one drawing; `left` to `right` is the time axis, the rest is for words."""

    width: float
    left: float
    right: float
    text: float
    small: float
    row: float  # height of a row with its words over it
    beside: bool  # names of rows stand left of their lanes
    heights: tuple[float, float, float]  # of warmth, strength, dampness


PHONE = Look(320, 1, 243, 12.5, 10.5, 26, False, (64, 74, 40))
WIDE = Look(760, 158, 572, 13, 11.5, 22, True, (92, 110, 62))


@dataclass(frozen=True)
class Plot:
    """One field of curves: from values to heights."""

    axis: Axis
    times: Sequence[datetime]
    low: float
    high: float
    top: float
    bottom: float

    def y(self, value: float) -> float:
        value = min(max(value, self.low), self.high)
        return self.bottom - (value - self.low) / (self.high - self.low) * (self.bottom - self.top)

    def points(self, values: Values) -> list[list[tuple[float, float]]]:
        """Stretches without a gap, on the axis: what is not known is not drawn."""
        runs: list[list[tuple[float, float]]] = [[]]
        for x, value in zip(self.axis.places(self.times), values, strict=False):
            if value is None or math.isnan(x):
                runs.append([])
                continue
            if not runs[-1] or x - runs[-1][-1][0] >= NEAR:
                runs[-1].append((x, self.y(value)))
        return [run for run in runs if len(run) > 1]

    def line(self, kind: str, values: Values, more: str = "") -> str:
        d = "".join(f"M{_path(run)}" for run in self.points(values))
        return f'<path class="{kind}"{more} d="{d}"/>' if d else ""

    def area(self, kind: str, low: Values, high: Values) -> str:
        d = ""
        for under, over in zip(self.points(low), self.points(high), strict=False):
            d += f"M{_path(under)}L{_path(list(reversed(over)))}Z"
        return f'<path class="{kind}" d="{d}"/>' if d else ""

    def level(self, kind: str, value: float, more: str = "") -> str:
        left, right = self.axis.left, self.axis.right
        return f'<path class="{kind}"{more} d="M{left:.1f} {self.y(value):.1f}H{right:.1f}"/>'

    def crossed(self, values: Values, level: float, *, falling: bool = False) -> datetime | None:
        """When a curve first reaches a level; straight lines between its hours."""
        sign = -1.0 if falling else 1.0
        before: tuple[datetime, float] | None = None
        for at, value in zip(self.times, values, strict=False):
            if value is None:
                before = None
                continue
            over = sign * (value - level)
            if over >= 0:
                if before is None or before[1] >= 0:
                    return at
                return before[0] + (at - before[0]) * (before[1] / (before[1] - over))
            before = (at, over)
        return None


def warmth(
    look: Look, reader: Reader, axis: Axis, concrete: ConcreteResponse, top: float
) -> list[str]:
    """The concrete with its band, its coldest place, the air, and freezing."""
    mean, coldest, air = concrete.mean_C, concrete.coldest_C.p50, concrete.air_C.p50
    known = [0.0, 10.0]
    for values in (mean.p10, mean.p90, coldest, air):
        known += _seen(axis, concrete.time, values)
    low, high = 5 * math.floor(min(known) / 5), 5 * math.ceil(max(known) / 5)
    plot = _plot(axis, concrete.time, (low, high), top, look.heights[0])
    parts = [plot.area("band", mean.p10, mean.p90), plot.level("freezing", 0.0)]
    parts += [plot.line("air", air), plot.line("coldest", coldest), plot.line("middle", mean.p50)]
    every = 10 if high - low <= 40 else 20
    labels = [
        (plot.y(at), measure(at, "temperature_C", reader))
        for at in range(every * math.ceil(low / every), high + 1, every)
    ]
    return [*parts, *_beside(plot, labels)]


def strength(
    look: Look,
    reader: Reader,
    steps: Sequence[StepWindowResponse],
    axis: Axis,
    concrete: ConcreteResponse,
    top: float,
) -> list[str]:
    """Strength where it is slowest with its band, that of the section, and what steps ask for."""
    asked = [one for one in steps if _asks_strength(one)]
    bands = concrete.strength_MPa
    needs = [one.need.value for one in asked]
    most = max(_seen(axis, concrete.time, bands.p90), default=1.0)
    high = min(max(most, 1.0), max(1.35 * max(needs), 5.0)) if needs else max(most, 1.0)
    plot = _plot(axis, concrete.time, (0.0, high), top, look.heights[1])
    parts = [plot.area("band", _lowest(concrete) or bands.p10, bands.p90)]
    whole = {one.level for one in asked if one.step in OF_SECTION}
    for sure in concrete.surely:
        level = f' data-level="{sure.level:g}"'
        kind = "middle" if sure.level == 0.5 else "edge"
        parts.append(plot.line(kind, sure.slowest_MPa, f'{level} data-of="slowest"'))
        if whole and sure.level in (0.5, *whole):
            parts.append(plot.line("section", sure.section_MPa, f'{level} data-of="section"'))
    if not concrete.surely:
        parts.append(plot.line("middle", bands.p50))
    named: dict[str, list[str]] = {}
    heights: dict[str, float] = {}
    for one in asked:
        if one.need.value > high:
            continue  # beyond the field: a line at its top would tell another strength
        shown = bare(one.need.value, "stress_MPa", reader)
        heights[shown] = one.need.value
        named.setdefault(shown, []).append(word("level", one.step))
        parts.append(plot.level("need", one.need.value, f' data-step="{one.step}"'))
        parts += _crosses(plot, one, concrete)
    labels = [
        (plot.y(heights[shown]), _fitting(look, shown, ", ".join(words)))
        for shown, words in named.items()
    ]
    return [*parts, *_beside(plot, labels)]


def dryness(
    look: Look,
    reader: Reader,
    answer: AnswerResponse,
    axis: Axis,
    concrete: ConcreteResponse,
    top: float,
) -> list[str]:
    """Pore humidity at the depth that the sealer asks, its level, and what wets the face."""
    target = dry_enough(answer)
    if target is None:
        return []
    rh = concrete.pore_rh
    known = [value for values in (rh.p10, rh.p90) for value in _seen(axis, concrete.time, values)]
    if not known:
        return []
    low = math.floor(20 * min(*known, target - 0.03)) / 20
    plot = _plot(axis, concrete.time, (low, 1.0), top, look.heights[2])
    parts = [plot.area("band", rh.p10, rh.p90), plot.level("need", target, ' data-step="seal"')]
    parts += [
        plot.line("middle", rh.p50, ' data-level="0.5" data-of="damp"'),
        plot.line("edge", rh.p90, ' data-level="0.9" data-of="damp"'),
    ]
    wet = [one.at for one in answer.plan if registry.base_of(one.step) == "hone"]
    parts += [
        f'<path class="wetted" d="M{axis.x(at) - 4:.1f} {top:.1f}h8l-4 7z"/>'
        for at in wet
        if axis.shows(at)
    ]
    label = say(Message("picture_to_seal", {"target_rh": target}), reader)
    return [*parts, *_beside(plot, [(plot.y(target), label)])]


def dry_enough(answer: AnswerResponse) -> float | None:
    """The pore humidity that the next coat asks for; None where no sealing lies ahead."""
    for step in answer.steps:
        if step.done_at or not (step.step == "dry-to-seal" or registry.coat_number(step.step)):
            continue
        for reason in step.reasons:
            target = reason.values.get("target_rh")
            if isinstance(target, float | int):
                return float(target)
    return None


def sky(axis: Axis, concrete: ConcreteResponse, top: float, height: float) -> list[str]:
    """Frost at the piece as a saw, by middle and by one in ten, and rain as bars by its chance."""
    parts = []
    freezing = (("frost", concrete.air_C.p50), ("maybe-frost", concrete.air_C.p10))
    seen: set[int] = set()
    for kind, values in freezing:
        rows = [k for k, value in enumerate(values) if value is not None and value < 0.0]
        for first, last in _runs([k for k in rows if k not in seen]):
            a, b = (
                axis.x(concrete.time[first]),
                axis.x(concrete.time[min(last + 1, len(concrete.time) - 1)]),
            )
            if b - a > 0.3:
                parts.append(f'<path class="{kind}" d="{_saw(a, b, top, height)}"/>')
        seen.update(rows)
    bars = ""
    for at, chance in zip(concrete.time, concrete.rain_chance, strict=False):
        if chance and chance >= 0.1 and axis.shows(at):
            tall = max(2.5, chance * height)
            bars += f"M{axis.x(at) + 0.5:.1f} {top + height:.1f}v{-tall:.1f}"
    return [*parts, f'<path class="rain" d="{bars}"/>' if bars else ""]


def _saw(a: float, b: float, top: float, height: float) -> str:
    """Teeth that hang, as icicles do; one at least."""
    teeth = max(1, round((b - a) / 5))
    wide = (b - a) / teeth
    return (
        f"M{a:.1f} {top:.1f}" + teeth * f"l{wide / 2:.2f} {height:.1f}l{wide / 2:.2f} {-height:.1f}"
    )


def _runs(rows: Sequence[int]) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for k in rows:
        if runs and k == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], k)
        else:
            runs.append((k, k))
    return runs


def _fitting(look: Look, shown: str, words: str) -> str:
    """What is asked and by which steps; the steps alone where both have no room."""
    both = f"{shown} {words}"
    return both if LETTER * look.small * len(both) <= look.width - look.right - 8 else words


def _asks_strength(step: StepWindowResponse) -> bool:
    return not step.done_at and step.need.unit == "MPa"


def _lowest(concrete: ConcreteResponse) -> Values | None:
    """The lower edge of the band: what is reached at the highest level that steps ask for."""
    return max(concrete.surely, key=lambda one: one.level).slowest_MPa if concrete.surely else None


def _crosses(plot: Plot, step: StepWindowResponse, concrete: ConcreteResponse) -> list[str]:
    """A ring where the middle reaches what a step asks for, a dot where it surely has it."""
    out = []
    for sure in concrete.surely:
        if sure.level not in (0.5, step.level):
            continue
        values = sure.section_MPa if step.step in OF_SECTION else sure.slowest_MPa
        at = plot.crossed(values, step.need.value)
        if at is not None and plot.axis.shows(at):
            kind = "ring" if sure.level == 0.5 else "dot"
            x, y = plot.axis.x(at), plot.y(step.need.value)
            told = f'class="{kind}" data-step="{step.step}"'
            out.append(f'<circle {told} cx="{x:.1f}" cy="{y:.1f}" r="2.6"/>')
    return out


def _plot(
    axis: Axis,
    times: Sequence[datetime],
    limits: tuple[float, float],
    top: float,
    height: float,
) -> Plot:
    return Plot(axis, times, *limits, top + 3, top + height)


def _beside(plot: Plot, labels: Sequence[tuple[float, str]]) -> list[str]:
    """Words right of the field, parted where they would meet, each tied to its height."""
    ordered = sorted(labels)
    ys: list[float] = []
    for y, _ in ordered:
        ys.append(max(y, ys[-1] + LABEL_GAP) if ys else y)
    over = (ys[-1] - plot.bottom) if ys else 0.0
    for k in range(len(ys) - 1, -1, -1):  # back up where the last ones fell out below
        limit = ys[k + 1] - LABEL_GAP if k + 1 < len(ys) else plot.bottom
        ys[k] = min(ys[k], limit) if over > 0 else ys[k]
    out, x = [], plot.axis.right
    for (y, words), at in zip(ordered, ys, strict=True):
        out.append(f'<path class="tie" d="M{x:.1f} {y:.1f}L{x + 5:.1f} {at:.1f}"/>')
        out.append(f'<text class="side" x="{x + 7:.1f}" y="{at + 3.5:.1f}">{escape(words)}</text>')
    return out


def _seen(axis: Axis, times: Sequence[datetime], values: Values) -> list[float]:
    return [
        value
        for at, value in zip(times, values, strict=False)
        if value is not None and axis.shows(at)
    ]


def _path(points: Sequence[tuple[float, float]]) -> str:
    return "L".join(f"{x:.1f} {y:.1f}" for x, y in simplified(points, FLAT))
