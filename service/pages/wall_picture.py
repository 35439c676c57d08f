"""A wall of a mould to scale: what backs and screws it, what presses it, how it bows."""

import math

from markupsafe import Markup, escape

from models.message import Message
from models.mould.check import Checked
from models.mould.walls import Wall
from service.words import Reader, measure, say

WIDTH = 358
LEFT, RIGHT, TOP = 68, 66, 20  # px beside the wall: its height, its load
TALLEST, LOAD, BOW = 190, 46, 16
MOST_DOTS = 60


def scale_of(one: Wall) -> float:
    """Pixels of a millimetre of the wall."""
    panel = one.panel
    return min((WIDTH - LEFT - RIGHT) / panel.length_mm, TALLEST / panel.height_mm)


def bowed(one: Wall) -> Message:
    """What the curve under the wall is, and how much it is enlarged."""
    most = max(one.bow_mm[2], one.allowed_mm)
    values = {
        "late_bow_mm": one.bow_mm[2],
        "most_bow_mm": one.allowed_mm,
        "times": BOW / most / scale_of(one),
    }
    return Message("mould_picture_bow", values)


def draw(one: Wall, checked: Checked, reader: Reader) -> Markup:
    """The wall from outside, its load beside it, and from above its bow, enlarged."""
    panel = one.panel
    scale = scale_of(one)
    wide, high = panel.length_mm * scale, panel.height_mm * scale
    foot = TOP + high
    parts = [
        f'<rect class="wall" x="{LEFT}" y="{TOP}" width="{wide:.1f}" height="{high:.1f}"/>',
        _braces(one, scale, foot),
        _screws(one, checked, scale, foot),
        _load(one, checked, scale, LEFT + wide + 8, foot, reader),
        _text(LEFT - 6, TOP + high / 2 + 4, measure(panel.height_mm, "length_mm", reader), "end"),
        _text(LEFT + wide / 2, foot + 17, measure(panel.length_mm, "length_mm", reader), "mid"),
    ]
    top = foot + 46
    parts.append(_bow(one, scale, top))
    title = say(Message("mould_picture", {"wall": panel.part}), reader)
    height = top + BOW + 8
    return Markup(  # every text in it is escaped
        f'<svg class="walled" viewBox="0 0 {WIDTH} {height:.0f}" role="img"'
        f' aria-label="{escape(title)}">{"".join(parts)}</svg>'
    )


def _bays(one: Wall) -> list[float]:
    """Where its supports stand along the wall [mm]: its ends, and ribs no farther than told."""
    along = one.panel.length_mm
    bays = max(1, math.ceil(along / one.bay_mm - 1e-9))
    return [along * k / bays for k in range(bays + 1)]


def _braces(one: Wall, scale: float, foot: float) -> str:
    return "".join(
        f'<path class="rib" d="M{LEFT + at * scale:.1f} {TOP - 5}V{foot + 3:.1f}"/>'
        for at in _bays(one)[1:-1]
    )


def _screws(one: Wall, checked: Checked, scale: float, foot: float) -> str:
    if one.screwed is None or not one.screwed.spacing_mm or not one.screwed.foot_spacing_mm:
        return ""
    told = checked.board.screw_spacing_mm
    up, along = told or one.screwed.spacing_mm, told or one.screwed.foot_spacing_mm
    wide = one.panel.length_mm * scale
    dots = []
    for side in (LEFT + 3, LEFT + wide - 3):
        rows = min(int(one.panel.height_mm // up), MOST_DOTS)
        dots += [(side, foot - 3 - k * up * scale) for k in range(rows + 1)]
    count = min(int(one.panel.length_mm // along), MOST_DOTS)
    dots += [(LEFT + 3 + k * along * scale, foot - 3) for k in range(1, count + 1)]
    return "".join(
        f'<circle class="screw" cx="{x:.1f}" cy="{y:.1f}" r="1.8"/>' for x, y in dots if y > TOP
    )


def _load(
    one: Wall, checked: Checked, scale: float, left: float, foot: float, reader: Reader
) -> str:
    """The pressure beside the wall, as wide as it presses."""
    fresh = min(checked.pressed.fresh_mm, one.panel.height_mm) * scale
    pushes = [(left + LOAD * part, foot - fresh * (1 - part)) for part in (0.35, 0.6, 0.85)]
    lines = "".join(f'<path class="push" d="M{x:.1f} {y:.1f}H{left:.1f}"/>' for x, y in pushes)
    words = measure(one.foot_kPa, "pressure_kPa", reader)
    return (
        f'<path class="band" d="M{left:.1f} {foot - fresh:.1f}L{left + LOAD:.1f} {foot:.1f}'
        f'H{left:.1f}Z"/>'
        f"{lines}{_text(left + LOAD, foot + 17, words, 'end')}"
    )


def _bow(one: Wall, scale: float, top: float) -> str:
    """From above: straight, and bowed as the soft board of ten is."""
    late = one.bow_mm[2]
    most = max(late, one.allowed_mm)
    curve, bays = "", _bays(one)
    for begin, end in zip(bays, bays[1:], strict=False):
        a, b = LEFT + begin * scale, LEFT + end * scale
        deep = top + 4 / 3 * BOW * late / most  # of a cubic that comes so deep
        third = (b - a) / 3
        curve += f"M{a:.1f} {top:.1f}C{a + third:.1f} {deep:.1f}"
        curve += f" {b - third:.1f} {deep:.1f} {b:.1f} {top:.1f}"
    wide = one.panel.length_mm * scale
    may = top + BOW * one.allowed_mm / most
    return (
        f'<path class="grid" d="M{LEFT} {top:.1f}h{wide:.1f}"/>'
        f'<path class="dots" d="M{LEFT} {may:.1f}h{wide:.1f}"/>'
        f'<path class="line" d="{curve}"/>'
    )


def _text(x: float, y: float, words: str, kind: str = "") -> str:
    named = f' class="{kind}"' if kind else ""
    return f'<text{named} x="{x:.1f}" y="{y:.1f}">{escape(words)}</text>'
