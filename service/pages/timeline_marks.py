"""The marks in the picture of a pour: shape says what a mark means, colour only helps."""

from collections.abc import Sequence
from datetime import datetime

from markupsafe import escape

from models.message import Message
from service.pages.timeline_axis import Axis
from service.pages.timeline_curves import LETTER, Look
from service.pages.timeline_rows import Row
from service.words import Reader, say

LINE = 14  # from a line of words to the next
WIDEST = 0.56  # width of a letter over its height, where what has no room would be cut off
OPEN_PX = 34  # length of a mark without an end
KEY = (
    ("likely", "picture_key_probably"),
    ("safe", "picture_key_safe"),
    ("late", "picture_key_late"),
    ("done", "picture_key_done"),
    ("meant", "picture_key_meant"),
    ("night", "picture_key_night"),
    ("working", "picture_key_working"),
    ("rain", "picture_key_rain"),
    ("frost", "picture_key_frost"),
    ("band", "picture_key_band"),
)


def row_of(
    row: Row, axis: Axis, look: Look, y: float, now: datetime
) -> tuple[list[str], tuple[float, float], float]:
    """The words of a row, the marks in its lane, and where the next row begins."""
    title = row.title[:1].upper() + row.title[1:]
    if look.beside:
        at = y + 0.5 * look.row
        words = _wrapped(title, int((look.left - 8) / (LETTER * look.text)))
        told = _wrapped(row.shown, int((look.width - look.right - 7) / (WIDEST * look.text)))
        parts = _below(words, 0, at + 4.5) + _below(told, look.right + 7, at + 4.5, "soft")
        end = y + look.row + LINE * (max(len(words), len(told)) - 1)
        return parts + _marks(row, axis, at, now), (y, end), end
    letters = int((look.width - 4) / (LETTER * look.text))
    alone = len(title) + len(row.shown) + 2 > letters
    words = _wrapped(title, letters if alone else letters - len(row.shown) - 2)
    told = _wrapped(row.shown, int(look.width / (WIDEST * look.text))) if alone else [row.shown]
    first = y + LINE * (len(words) - 1 + (1 if alone and row.shown else 0))
    parts = _below(words, look.left, y + 11.5)
    parts += _below(told, look.width - 1, first + 11.5, "end")
    top = first + LINE * (len(told) - 1)
    at = top + 20.5
    return parts + _marks(row, axis, at, now), (at - 6, at + 7), top + look.row


def _below(lines: Sequence[str], x: float, y: float, kind: str = "") -> list[str]:
    """Lines of words, one below the other."""
    of = f'class="{kind}" ' if kind else ""
    return [
        f'<text {of}x="{x:.1f}" y="{y + LINE * k:.1f}">{escape(line)}</text>'
        for k, line in enumerate(lines)
    ]


def _wrapped(text: str, letters: int) -> list[str]:
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > letters:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _marks(row: Row, axis: Axis, y: float, now: datetime) -> list[str]:
    """Thin from probably on, thick from safe on, a stroke where it is too late."""
    parts = [f'<path class="lane" d="M{axis.left:.1f} {y:.1f}H{axis.right:.1f}"/>']
    told = f' data-step="{row.key}"'
    for laid, end, meant in row.lies:
        cut = laid if meant else max(laid, now if end is None else min(now, end))
        if cut > laid:
            parts.append(_block("lay", axis.x(laid), axis.x(cut), y, told))
        if end is None or end > cut:
            parts.append(_block("shall-lie", axis.x(cut), axis.x(end or axis.end), y, told))
    likely, safe, latest = row.likely, row.safe, row.latest
    if latest is not None and safe is not None and latest < safe:
        safe = None
    begin = likely or safe
    if begin is not None:
        a, edge = axis.x(begin), axis.x(latest) if latest else None
        to = axis.x(safe) if safe else edge if edge is not None else a + OPEN_PX
        to = min(to, axis.right)
        if to > a:
            parts.append(f'<path class="likely"{told} d="M{a:.1f} {y:.1f}H{to:.1f}"/>')
        if safe is not None and axis.shows(safe):
            a = axis.x(safe)
            if edge is None:
                b = min(a + OPEN_PX, axis.right)
                d = f"M{a:.1f} {y - 5:.1f}H{b - 5:.1f}l5 5l-5 5H{a:.1f}Z"
                if b - a < 8:
                    d = f"M{a:.1f} {y - 5:.1f}l5 5l-5 5Z"
            else:
                b = max(edge, a + 2)
                d = f"M{a:.1f} {y - 5:.1f}H{b:.1f}v10H{a:.1f}Z"
            kind = "safe missed" if row.missed else "safe"
            parts.append(f'<path class="{kind}"{told} d="{d}"/>')
        if edge is not None and latest is not None and axis.shows(latest):
            parts.append(f'<path class="late"{told} d="M{edge:.1f} {y - 7:.1f}v14"/>')
    parts += [_diamond("meant", axis.x(at), y, told) for at in row.meant if axis.shows(at)]
    parts += [_tick(axis.x(at), y, told) for at in row.done if axis.shows(at)]
    return parts


def _block(kind: str, a: float, b: float, y: float, told: str) -> str:
    return (
        f'<rect class="{kind}"{told} x="{a:.1f}" y="{y - 4:.1f}" width="{max(b - a, 1.5):.1f}"'
        ' height="8"/>'
    )


def _diamond(kind: str, x: float, y: float, told: str = "") -> str:
    return f'<path class="{kind}"{told} d="M{x:.1f} {y - 5.5:.1f}l5.5 5.5l-5.5 5.5l-5.5 -5.5Z"/>'


def _tick(x: float, y: float, told: str = "") -> str:
    """A filled disc with a check in it."""
    return (
        f'<circle class="done"{told} cx="{x:.1f}" cy="{y:.1f}" r="5.5"/>'
        f'<path class="check" d="M{x - 2.6:.1f} {y:.1f}l2 2.2l3.4 -4.2"/>'
    )


def legend(look: Look, y: float, reader: Reader) -> tuple[list[str], float]:
    """What the marks mean, in as many lines as it takes; and the height then reached."""
    parts, x = [], 2.0
    y += 12
    teeth = 3 * "l2.5 9l2.5 -9"
    for kind, code in KEY:
        words = say(Message(code, {}), reader)
        room = 24 + LETTER * look.small * len(words) + 9
        if x + room > look.width:
            x, y = 2.0, y + 15
        c = y - 4
        marks = {
            "likely": f'<path class="likely" d="M{x} {c}h18"/>',
            "safe": f'<path class="safe" d="M{x} {c - 5}h13l5 5l-5 5h-13Z"/>',
            "late": f'<path class="late" d="M{x + 14} {c - 7}v14"/>'
            f'<path class="safe" d="M{x} {c - 5}h13v10h-13Z"/>',
            "done": _tick(x + 9, c),
            "meant": _diamond("meant", x + 9, c),
            "night": f'<path class="night" d="M{x} {c}h18"/>',
            "working": f'<rect class="working" x="{x}" y="{c - 2.5}" width="18" height="5"/>',
            "rain": f'<path class="rain" d="M{x + 4} {c + 4}v-9m3 9v-5m3 5v-8m3 8v-3"/>',
            "frost": f'<path class="frost" d="M{x} {c - 4}{teeth}"/>',
            "band": f'<rect class="band" x="{x}" y="{c - 5}" width="18" height="10"/>'
            f'<path class="middle" d="M{x} {c}h18"/>',
        }
        parts.append(marks[kind])
        parts.append(f'<text class="small" x="{x + 22:.1f}" y="{y}">{escape(words)}</text>')
        x += room
    return parts, y + 8
