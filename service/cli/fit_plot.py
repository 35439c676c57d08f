"""A fit as one SVG: results and curve, residuals, and the rates against temperature.

It stands alone, so its colours are in it, dark on light or light on dark as the reader's screen is;
each temperature has a mark of its own, so nothing is told by colour alone.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from markupsafe import escape

from models.concrete.fit import RateLines
from models.concrete.mix_fit import MixFit
from models.errors import InputError
from models.message import Message, Value
from models.units import KELVIN
from service.cli.terminal import plain
from service.words import say
from service.words.reader import PLAIN

WIDTH = 640
LEFT, RIGHT = 56, 16
PLOT, RESIDUAL, RATE = 250, 110, 170  # heights of the three panels
HEAD, GAP = 58, 54
AGE_TICKS_H = {
    1: "1 h",
    3: "3 h",
    6: "6 h",
    12: "12 h",
    24: "1 d",
    72: "3 d",
    168: "7 d",
    672: "28 d",
    2160: "90 d",
    8760: "1 y",
}
STYLE = (
    "svg{--page:#fff;--ink:#14181a;--soft:#4a5358;--edge:#c9ccc6;--main:#1d6b46;"
    "font:14px system-ui,sans-serif}"
    "@media(prefers-color-scheme:dark){svg{--page:#14191a;--ink:#f1f3ef;--soft:#b4bdb8;"
    "--edge:#414a46;--main:#8fd6b0}}"
    ".page{fill:var(--page)}text{fill:var(--ink)}.soft{fill:var(--soft)}"
    ".grid{stroke:var(--edge);fill:none}.zero{stroke:var(--soft);fill:none}"
    ".line{stroke:var(--main);stroke-width:2.5;fill:none}"
    ".beyond{stroke:var(--main);stroke-width:1.5;stroke-dasharray:5 5;fill:none}"
    ".mark{stroke:var(--ink);stroke-width:1.6;fill:var(--page)}"
    ".aside{stroke:var(--soft);stroke-width:1.2;fill:none}"
    ".stem{stroke:var(--soft);fill:none}.end{text-anchor:end}.mid{text-anchor:middle}"
)
Marker = Callable[[float, float], str]


def _polygon(*corners: tuple[float, float]) -> Marker:
    def drawn(x: float, y: float) -> str:
        return "M" + "L".join(f"{x + dx:.1f} {y + dy:.1f}" for dx, dy in corners) + "Z"

    return drawn


def _round(x: float, y: float) -> str:
    return f"M{x - 4.5:.1f} {y:.1f}a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0-9 0Z"


CUBE_C = 20.0  # at which the curve is told
MARKERS: tuple[Marker, ...] = (
    _round,
    _polygon((-4, -4), (4, -4), (4, 4), (-4, 4)),
    _polygon((0, -5.5), (5, 3.8), (-5, 3.8)),
    _polygon((0, -6), (5, 0), (0, 6), (-5, 0)),
    _polygon((0, 5.5), (5, -3.8), (-5, -3.8)),
)


@dataclass(frozen=True)
class Panel:
    """A rectangle of the picture and what its edges stand for."""

    top: float
    height: float
    x_span: tuple[float, float]
    y_span: tuple[float, float]

    def x(self, value: float) -> float:
        low, high = self.x_span
        return LEFT + (value - low) / (high - low) * (WIDTH - LEFT - RIGHT)

    def y(self, value: float) -> float:
        low, high = self.y_span
        return self.top + self.height - (value - low) / (high - low) * self.height

    def path(self, xs: Sequence[float], ys: Sequence[float], kind: str) -> str:
        points = "L".join(f"{self.x(x):.1f} {self.y(y):.1f}" for x, y in zip(xs, ys, strict=True))
        return f'<path class="{kind}" d="M{points}"/>'


def write(found: MixFit, path: Path) -> None:
    """The picture into a new or former .svg file; nothing else is written over."""
    if path.suffix.lower() != ".svg":
        raise InputError("--plot", str(path), "not the name of an SVG file", "FILE.svg")
    try:
        path.write_text(drawn(found), encoding="utf-8")
    except OSError as error:
        reason = error.strerror or "cannot be written"
        raise InputError("--plot", str(path), reason, "a file that can be written") from None


def drawn(found: MixFit) -> str:
    """The picture as SVG text."""
    ages = np.log10(found.equivalent_age_h)
    span = (float(ages.min()) - 0.12, float(max(ages.max(), math.log10(672.0))) + 0.12)
    top = max(max(row.MPa for row in found.results), found.strength_28d_MPa)
    plot = Panel(HEAD, PLOT, span, (0.0, _round_up(1.05 * top)))
    reach = _round_up(1.1 * max(float(np.abs(found.residuals_MPa).max()), 0.5))
    residual = Panel(HEAD + PLOT + GAP, RESIDUAL, span, (-reach, reach))
    parts = [*_heading(found), *_strengths(found, plot), *_residuals(found, residual)]
    height = HEAD + PLOT + GAP + RESIDUAL + GAP - 10
    if isinstance(found.energy, RateLines):
        parts += _rates(found, found.energy, height + 6)
        height += RATE + GAP
    title, described = _described(found)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" '
        f'height="{height}" role="img" aria-labelledby="t d"><title id="t">{title}</title>'
        f'<desc id="d">{described}</desc><style>{STYLE}</style>'
        f'<rect class="page" width="{WIDTH}" height="{height}"/>{"".join(parts)}</svg>\n'
    )


def _heading(found: MixFit) -> list[str]:
    """What each mark is; the line is the fit."""
    parts, x = [], float(LEFT)
    for k, cure in enumerate(found.cures):
        parts.append(f'<path class="mark" d="{_marker(k)(x + 5, 15)}"/>')
        parts.append(f'<text x="{x + 15:g}" y="20">{_say(cure.named)}</text>')
        x += min(90.0, (WIDTH - LEFT - RIGHT) / len(found.cures))
    return [
        *parts,
        f'<text class="soft" x="{LEFT}" y="{HEAD - 14}">{_worded("fit_axis", age_C=CUBE_C)}</text>',
    ]


def _strengths(found: MixFit, panel: Panel) -> list[str]:
    tested = np.log10(found.equivalent_age_h[list(found.curve_rows)])
    parts = [_axes(panel)]
    low, high = panel.x_span
    for begin, end, kind in (
        (low, tested.min(), "beyond"),
        (tested.min(), tested.max(), "line"),
        (tested.max(), high, "beyond"),
    ):
        xs = np.linspace(begin, end, 60)
        parts.append(panel.path(xs.tolist(), found.strength_at(10**xs).tolist(), kind))
    for k, kind, mark in _rows(found):
        age, MPa = math.log10(found.equivalent_age_h[k]), found.results[k].MPa
        parts.append(f'<path class="{kind}" d="{mark(panel.x(age), panel.y(MPa))}"/>')
    return parts


def _residuals(found: MixFit, panel: Panel) -> list[str]:
    words = _worded("fit_axis_residual")
    parts = [_axes(panel), f'<text class="soft" x="{LEFT}" y="{panel.top - 8:g}">{words}</text>']
    parts.append(panel.path(panel.x_span, (0.0, 0.0), "zero"))
    for k, kind, mark in _rows(found):
        x, y = panel.x(math.log10(found.equivalent_age_h[k])), panel.y(found.residuals_MPa[k])
        parts.append(f'<path class="stem" d="M{x:.1f} {panel.y(0):.1f}V{y:.1f}"/>')
        parts.append(f'<path class="{kind}" d="{mark(x, y)}"/>')
    return parts


def _rates(found: MixFit, lines: RateLines, top: float) -> list[str]:
    """ln k on 1/T with its line; the axis runs from cold to warm."""
    inverse = 1000.0 / (lines.temperatures_C + KELVIN)
    logs = np.log(lines.rates_per_h)
    room = 0.08 * float(np.ptp(inverse))
    edges = np.array([inverse.max() + room, inverse.min() - room])
    on_line = logs.mean() - lines.quotient_K / 1000.0 * (edges - inverse.mean())
    low, high = float(min(logs.min(), on_line[0])), float(max(logs.max(), on_line[1]))
    panel = Panel(top + 24, RATE - 20, (edges[0], edges[1]), (low - 0.1, high + 0.1))
    words = _worded(
        "fit_axis_rate",
        quotient_K=lines.quotient_K,
        energy_kJ_mol=lines.activation_energy_kJ_mol,
    )
    parts = [f'<text class="soft" x="{LEFT}" y="{panel.top - 8:g}">{words}</text>', _ruled(panel)]
    parts.append(panel.path(edges.tolist(), on_line.tolist(), "line"))
    shown = [k for k, cure in enumerate(found.cures) if cure.curve is not None]
    for k, x, y in zip(shown, inverse, logs, strict=True):
        parts.append(f'<path class="mark" d="{_marker(k)(panel.x(x), panel.y(y))}"/>')
        foot = panel.top + panel.height + 18
        words = _say(found.cures[k].named)
        parts.append(f'<text class="mid" x="{panel.x(x):.1f}" y="{foot:g}">{words}</text>')
    return parts


def _rows(found: MixFit) -> list[tuple[int, str, Marker]]:
    """Each result with its mark; pale where the curve was not fitted to it."""
    return [
        (k, "mark" if k in found.curve_rows else "aside", _marker(number))
        for number, cure in enumerate(found.cures)
        for k in cure.rows
    ]


def _marker(number: int) -> Marker:
    return MARKERS[number % len(MARKERS)]


def _axes(panel: Panel) -> str:
    grid, words = "", ""
    for age, name in AGE_TICKS_H.items():
        x = math.log10(age)
        if panel.x_span[0] < x < panel.x_span[1]:
            grid += f"M{panel.x(x):.1f} {panel.top:g}v{panel.height:g}"
            foot = panel.top + panel.height + 18
            words += f'<text class="mid" x="{panel.x(x):.1f}" y="{foot:g}">{name}</text>'
    return f'<path class="grid" d="{grid}"/>{words}' + _ruled(panel)


def _ruled(panel: Panel) -> str:
    low, high = panel.y_span
    step = _tick((high - low) / (6 if panel.height > RESIDUAL else 4))
    grid, words = "", ""
    for k in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1):
        y = panel.y(k * step)
        grid += f"M{LEFT} {y:.1f}H{WIDTH - RIGHT}"
        words += f'<text class="end" x="{LEFT - 7}" y="{y + 5:.1f}">{k * step:g}</text>'
    return f'<path class="grid" d="{grid}"/>{words}'


def _described(found: MixFit) -> tuple[str, str]:
    cures = tuple(cure.named for cure in found.cures)
    points = tuple(
        Message("fit_point", {"strength_MPa": point.MPa, "age_d": point.age_h / 24})
        for point in found.label()
    )
    rmse = found.curve.rmse_MPa
    return (
        _worded("fit_picture", count=len(found.results), cures=cures),
        _worded("fit_picture_curve", age_C=CUBE_C, points=points, rmse_MPa=rmse),
    )


def _worded(code: str, **values: Value) -> str:
    return str(escape(plain(code, **values)))


def _say(message: Message) -> str:
    return str(escape(say(message, PLAIN)))


def _round_up(value: float) -> float:
    step = _tick(value / 6)
    return step * math.ceil(value / step - 1e-9)


def _tick(least: float) -> float:
    """The round step next above a least one."""
    size = 10.0 ** math.floor(math.log10(least))
    return next(step * size for step in (1.0, 2.0, 5.0, 10.0) if step * size >= least * (1 - 1e-9))
